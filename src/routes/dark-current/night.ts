// The air of a night, hour by hour, from one temperature or from many.

import { COMMON_PRACTICE } from '../../setup/typical.ts'
import type { Notes } from '../../setup/notes.ts'
import type { Request } from './request.ts'

export interface Night {
  hours: { celsius: number; relativeHumidityShare: number | undefined; at: string | undefined }[]
  marginCelsius: number
}

/** Resolves the night; null where none is given. */
export function resolveNight(night: Request['night'], notes: Notes): Night | null {
  if (night === undefined) return null
  const { ambientCelsius, relativeHumidityShare } = night
  const given = typeof ambientCelsius === 'number' ? [{ celsius: ambientCelsius }] : ambientCelsius
  return {
    hours: given.map(
      (hour: { celsius: number; relativeHumidityShare?: number | undefined; at?: string | undefined }) => ({
        celsius: hour.celsius,
        relativeHumidityShare: hour.relativeHumidityShare ?? relativeHumidityShare,
        at: hour.at,
      }),
    ),
    marginCelsius: night.marginCelsius ?? notes.assume('/night/marginCelsius', 2, `not given (${COMMON_PRACTICE})`),
  }
}

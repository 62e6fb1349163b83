// What darks of another temperature leave in the stack, and how far off they may be.

import {
  darkCurrentElectronsPerPixelSecond,
  temperatureMismatch,
  temperatureTolerance,
  type DarkCurrentLaw,
  type MismatchQuestion,
  type TemperatureMismatch,
  type TemperatureTolerance,
} from '../../engine/index.ts'
import { citeDarkLaw, darkLawOf } from '../../setup/dark-law.ts'
import type { Notes } from '../../setup/notes.ts'
import { COMMON_PRACTICE } from '../../setup/typical.ts'
import { engineStack, type Request, type Stack } from './stack.ts'

export interface Temperature {
  lightsCelsius: number
  darksCelsius: number
  residual: TemperatureMismatch
  ordinary: TemperatureTolerance
  hot: TemperatureTolerance
  /** Of an ordinary pixel, to the stricter side; null without a limit. */
  toleranceCelsius: number | null
}

const HOT_RATIO = 100
const WARMER_CELSIUS = 5
const WARMEST_CELSIUS = 80

/** Cost and tolerance of a mismatch; null where nothing is known of the dark current. */
export function solveTemperature(request: Request, stack: Stack, notes: Notes): Temperature | null {
  const law = darkLawOf(request.camera)
  const lightsCelsius = stack.scene.camera.temperatureCelsius
  if (law === null || lightsCelsius === undefined) return null
  const darksCelsius =
    request.darksCelsius ??
    notes.assume(
      '/darksCelsius',
      Math.min(lightsCelsius + WARMER_CELSIUS, WARMEST_CELSIUS),
      `not given: ${WARMER_CELSIUS} °C above the lights, as an example`,
    )
  const question = mismatchQuestion({ request, stack, law, lightsCelsius, notes })
  const { ordinary, hot } = temperatureTolerance({ ...question, varianceShare: stack.varianceShare })
  citeDarkLaw(law, notes)
  return {
    lightsCelsius,
    darksCelsius,
    residual: temperatureMismatch({ ...question, darkCelsius: darksCelsius }),
    ordinary,
    hot,
    toleranceCelsius: stricter(ordinary),
  }
}

function mismatchQuestion(input: {
  request: Request
  stack: Stack
  law: DarkCurrentLaw
  lightsCelsius: number
  notes: Notes
}): MismatchQuestion {
  const { request, stack, law, lightsCelsius, notes } = input
  const { rates, ...rest } = engineStack(stack)
  const ordinary = darkCurrentElectronsPerPixelSecond({ ...law, temperatureCelsius: lightsCelsius })
  const hotPixelElectronsPerSecond =
    request.hotPixelElectronsPerSecond ??
    notes.assume(
      '/hotPixelElectronsPerSecond',
      HOT_RATIO * ordinary.electronsPerPixelSecond,
      `not given: ${HOT_RATIO} times that of an ordinary pixel (${COMMON_PRACTICE})`,
    )
  return {
    ...rest,
    law,
    lightCelsius: lightsCelsius,
    hotPixelElectronsPerSecond,
    targetElectronsPerPixelSecond: rates.targetElectronsPerPixelSecond,
    skyElectronsPerPixelSecond: rates.skyElectronsPerPixelSecond,
  }
}

/** The smaller of both sides; null without a limit on either. */
export function stricter({ colderCelsius, warmerCelsius }: TemperatureTolerance): number | null {
  const sides = [colderCelsius, warmerCelsius].flatMap((one) => one ?? [])
  return sides.length === 0 ? null : Math.min(...sides)
}

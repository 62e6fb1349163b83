// Optics and filter as the request describes them.

import type { z } from 'zod'
import type { Plain } from '../contract/fields.ts'
import type { FilterSchema, OpticsSchema } from '../contract/optics.ts'
import { BROAD_BANDS, type Filter } from '../engine/index.ts'
import { ascending } from './camera.ts'
import type { Notes } from './notes.ts'
import { COMMON_PRACTICE, TYPICAL_OPTICS, type Typical } from './typical.ts'

export type OpticsRequest = Plain<z.infer<typeof OpticsSchema>>
export type FilterRequest = Plain<z.infer<typeof FilterSchema>>

export interface OpticsSetup {
  apertureMm: number
  focalLengthMm: number
  obstructionMm: number
  transmission: number
}

/** Resolves optics; null where none are given and nothing needs them. */
export function resolveOptics(
  optics: OpticsRequest | undefined,
  needs: { photons: string | null; scale: string | null },
  notes: Notes,
): OpticsSetup | null {
  checkObstruction(optics?.apertureMm, optics?.obstructionMm, notes)
  const why = needs.photons ?? needs.scale
  if (why === null) return null
  if (optics === undefined) {
    notes.missing('/optics', why)
    return null
  }
  const like = optics.like === undefined ? undefined : TYPICAL_OPTICS[optics.like]
  const fill = (name: string, typical: Typical | undefined) =>
    typical === undefined
      ? undefined
      : notes.assume(
          `/optics/${name}`,
          typical.typical,
          `typical of ${optics.like ?? 'its class'} (${typical.low} to ${typical.high}; ${COMMON_PRACTICE})`,
        )
  const apertureMm =
    optics.apertureMm ??
    fill('apertureMm', like?.apertureMm) ??
    (needs.photons === null ? NaN : notes.missing('/optics/apertureMm', needs.photons))
  const focalLengthMm =
    optics.focalLengthMm ?? fill('focalLengthMm', like?.focalLengthMm) ?? notes.missing('/optics/focalLengthMm', why)
  const obstructionMm =
    optics.obstructionMm ?? (like === undefined ? 0 : obstructionOf(apertureMm, like.obstructionShare, notes))
  const transmission =
    optics.transmission ??
    fill('transmission', like?.transmission) ??
    (needs.photons === null ? 1 : notes.assume('/optics/transmission', 0.9, `not given (${COMMON_PRACTICE})`))
  return { apertureMm, focalLengthMm, obstructionMm, transmission }
}

function checkObstruction(apertureMm: number | undefined, obstructionMm: number | undefined, notes: Notes): void {
  if (apertureMm === undefined || obstructionMm === undefined || obstructionMm < apertureMm) return
  notes.contradictory(
    '/optics/obstructionMm',
    `an obstruction of ${obstructionMm} mm closes an aperture of ${apertureMm} mm`,
  )
}

function obstructionOf(apertureMm: number, share: Typical, notes: Notes): number {
  const obstructionMm = Math.round(apertureMm * share.typical)
  return notes.assume('/optics/obstructionMm', obstructionMm, `typical share of the aperture (${COMMON_PRACTICE})`)
}

/** Resolves the filter; without one the light path is clear. */
export function resolveFilter(filter: FilterRequest | undefined, needed: boolean, notes: Notes): Filter {
  if (filter === undefined) return needed ? notes.assume('/filter', { band: 'none' }, 'not given') : { band: 'none' }
  if ('curve' in filter) {
    ascending(
      filter.curve.map(({ wavelengthNm, transmission }) => ({ wavelengthNm, value: transmission })),
      '/filter/curve',
      notes,
    )
    return filter
  }
  if ('centerNm' in filter) return filter
  if (filter.widthNm !== undefined && filter.band in BROAD_BANDS) {
    notes.broken(
      '/filter/widthNm',
      `the band ${filter.band} has its own edges; give centerNm, widthNm and transmission for a box`,
    )
  }
  return filter.widthNm === undefined ? { band: filter.band } : { band: filter.band, widthNm: filter.widthNm }
}

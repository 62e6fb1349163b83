// Filters by the name of their band, as a top hat, or as a table. The passbands of the names are common practice
// without a source; a measured table is better wherever a narrow filter decides.

import { EngineError, requireInRange } from '../errors.ts'
import type { CurvePoint } from './curve.ts'
import { requireShare } from './curve.ts'
import { LONGEST_NM, SHORTEST_NM } from './spectrum.ts'

export type LineBand = 'h-alpha' | 'h-beta' | 'o-iii' | 's-ii' | 'dual-narrowband'
export type BroadBand = 'none' | 'luminance' | 'red' | 'green' | 'blue'
export type FilterBand = BroadBand | LineBand

/** A filter: a band (a width only for the narrow ones), a top hat, or a table that is 0 outside its ends. */
export type Filter =
  | { readonly band: FilterBand; readonly widthNm?: number | undefined }
  | { readonly centerNm: number; readonly widthNm: number; readonly transmission: number }
  | { readonly curve: readonly { readonly wavelengthNm: number; readonly transmission: number }[] }

/** Where {@link BROAD_BANDS} and {@link LINE_BANDS} come from. */
export const FILTER_BAND_SOURCE = 'common practice, no source'

/** Passbands of the broad bands. */
export const BROAD_BANDS = {
  none: { fromNm: SHORTEST_NM, toNm: LONGEST_NM, transmission: 1 },
  luminance: { fromNm: 400, toNm: 700, transmission: 0.95 },
  red: { fromNm: 590, toNm: 690, transmission: 0.93 },
  green: { fromNm: 490, toNm: 580, transmission: 0.93 },
  blue: { fromNm: 400, toNm: 500, transmission: 0.93 },
} as const satisfies Record<BroadBand, { fromNm: number; toNm: number; transmission: number }>

/** Centres of the line bands, in order of wavelength; each passes {@link LINE_BAND_TRANSMISSION} over its width. */
export const LINE_BANDS = {
  'h-alpha': { centersNm: [656.3] },
  'h-beta': { centersNm: [486.1] },
  'o-iii': { centersNm: [500.7] },
  's-ii': { centersNm: [672.4] },
  'dual-narrowband': { centersNm: [500.7, 656.3] },
} as const satisfies Record<LineBand, { centersNm: readonly number[] }>

/** Width of a line band when none is given. */
export const DEFAULT_LINE_WIDTH_NM = 7

/** Transmission of a line band at and about its centre. */
export const LINE_BAND_TRANSMISSION = 0.9

/** Widest line band; two of them in one filter stay apart. */
const WIDEST_LINE_BAND_NM = 100

/**
 * Transmission of a filter over wavelength.
 *
 * @param filter  by band, top hat or table
 * @returns table of transmission, 0 outside its ends; two points at one wavelength are a step
 * @throws {EngineError} `out-of-range` for widths, centres or transmissions out of range, or a width given to a broad
 *   band; `not-enough-data` for a table of fewer than two points
 * @source common practice, no source
 */
export function filterTransmission(filter: Filter): readonly CurvePoint[] {
  if ('curve' in filter) {
    const curve = filter.curve.map(({ wavelengthNm, transmission }) => ({ wavelengthNm, value: transmission }))
    requireShare('filter.curve', curve)
    return curve
  }
  if ('centerNm' in filter) {
    requireInRange('filter.centerNm', filter.centerNm, SHORTEST_NM, LONGEST_NM)
    requireInRange('filter.widthNm', filter.widthNm, 0.01, LONGEST_NM - SHORTEST_NM)
    requireInRange('filter.transmission', filter.transmission, 0, 1)
    return topHat(filter.centerNm, filter.widthNm, filter.transmission)
  }
  return bandTransmission(filter.band, filter.widthNm)
}

function bandTransmission(band: FilterBand, widthNm: number | undefined): readonly CurvePoint[] {
  if (isLineBand(band)) {
    const width = widthNm ?? DEFAULT_LINE_WIDTH_NM
    requireInRange('filter.widthNm', width, 0.01, WIDEST_LINE_BAND_NM)
    return LINE_BANDS[band].centersNm.flatMap((centerNm) => topHat(centerNm, width, LINE_BAND_TRANSMISSION))
  }
  if (widthNm !== undefined) {
    throw new EngineError('out-of-range', `The band ${band} takes no width; give centerNm, widthNm and transmission.`, {
      field: 'filter.widthNm',
      given: widthNm,
      allowed: `only with ${Object.keys(LINE_BANDS).join(', ')}`,
    })
  }
  const { fromNm, toNm, transmission } = BROAD_BANDS[band]
  return topHat((fromNm + toNm) / 2, toNm - fromNm, transmission)
}

function isLineBand(band: FilterBand): band is LineBand {
  return band in LINE_BANDS
}

/** A box with steps down to 0 at both ends. */
function topHat(centerNm: number, widthNm: number, transmission: number): readonly CurvePoint[] {
  const fromNm = centerNm - widthNm / 2
  const toNm = centerNm + widthNm / 2
  return [
    { wavelengthNm: fromNm, value: 0 },
    { wavelengthNm: fromNm, value: transmission },
    { wavelengthNm: toNm, value: transmission },
    { wavelengthNm: toNm, value: 0 },
  ]
}

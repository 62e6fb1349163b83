// What a pixel can hold and still count right: full well, converter and linearity bound it, and the smallest wins.

import { EngineError, requireInRange } from '../errors.ts'

export interface WellLimits {
  /** Electrons one pixel holds; > 0. */
  fullWellElectrons?: number | undefined
  /** Electrons up to which the output is linear; > 0. */
  linearLimitElectrons?: number | undefined
  /** Bits of the converter, 1 to 32; counts only together with electronsPerAdu. */
  bitDepth?: number | undefined
  /** Level without light, ADU, ≥ 0; 0 when not given. */
  offsetAdu?: number | undefined
  /** > 0 */
  electronsPerAdu?: number | undefined
}

export interface UsableWell {
  electrons: number
  setBy: 'full-well' | 'adc' | 'linearity'
}

/**
 * The smallest of the bounds that are known; of equal ones the full well is named first.
 *
 *     converter: (2^bits − 1 − offset) · K
 *
 * @returns null when none is known
 * @throws {EngineError} `out-of-range`, also when the offset leaves the converter no range
 * @derived electrons to the highest code; after EMVA 1288 Release 4.0, the converter often clips before the well is full
 */
export function usableWellElectrons(limits: WellLimits): UsableWell | null {
  const bounds: { electrons: number | undefined; setBy: UsableWell['setBy'] }[] = [
    { electrons: positive(limits, 'fullWellElectrons'), setBy: 'full-well' },
    { electrons: converterElectrons(limits), setBy: 'adc' },
    { electrons: positive(limits, 'linearLimitElectrons'), setBy: 'linearity' },
  ]
  const known = bounds.filter((bound): bound is UsableWell => bound.electrons !== undefined)
  const [first, ...others] = known
  return first === undefined ? null : others.reduce((a, b) => (b.electrons < a.electrons ? b : a), first)
}

function positive(
  limits: WellLimits,
  field: 'fullWellElectrons' | 'linearLimitElectrons' | 'electronsPerAdu',
): number | undefined {
  const value = limits[field]
  if (value !== undefined) requireInRange(field, value, 1e-12, 1e18)
  return value
}

function converterElectrons(limits: WellLimits): number | undefined {
  const { bitDepth, offsetAdu = 0 } = limits
  const electronsPerAdu = positive(limits, 'electronsPerAdu')
  requireInRange('offsetAdu', offsetAdu, 0)
  if (bitDepth === undefined) return undefined
  requireInRange('bitDepth', bitDepth, 1, 32)
  const highest = 2 ** bitDepth - 1
  if (offsetAdu >= highest) {
    throw new EngineError('out-of-range', `An offset of ${offsetAdu} ADU fills a converter of ${bitDepth} bits.`, {
      field: 'offsetAdu',
      given: offsetAdu,
      allowed: `below ${highest}`,
    })
  }
  return electronsPerAdu === undefined ? undefined : (highest - offsetAdu) * electronsPerAdu
}

/**
 * Variance of rounding to whole ADU.
 *
 *     K²/12
 *
 * @param electronsPerAdu  K, > 0
 * @returns electrons²
 * @throws {EngineError} `out-of-range`
 * @source JCGM 100:2008, 4.3.7: a rectangular distribution of full width K
 */
export function quantizationVariance(electronsPerAdu: number): number {
  requireInRange('electronsPerAdu', electronsPerAdu, Number.MIN_VALUE, 1e150)
  return electronsPerAdu ** 2 / 12
}

/**
 * How many times the read noise a pixel holds.
 *
 *     W/R; 20 log₁₀ decibels; log₂ stops
 *
 * Not the dynamic range of EMVA 1288, which starts where the signal-to-noise ratio is 1.
 *
 * @param input.wellElectrons  W, > 0
 * @param input.readNoiseElectrons  R, > 0; without read noise the range has no bound
 * @returns ratio, decibels and stops
 * @throws {EngineError} `out-of-range`
 * @derived definition in engineering use
 */
export function wellDynamicRange(input: { wellElectrons: number; readNoiseElectrons: number }): {
  ratio: number
  decibels: number
  stops: number
} {
  requireInRange('wellElectrons', input.wellElectrons, 1e-3, 1e12)
  requireInRange('readNoiseElectrons', input.readNoiseElectrons, 1e-6, 1e6)
  const ratio = input.wellElectrons / input.readNoiseElectrons
  return { ratio, decibels: 20 * Math.log10(ratio), stops: Math.log2(ratio) }
}

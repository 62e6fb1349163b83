// What the property tests of the exposure engine draw from. Magnitudes are drawn log-uniformly, with zero beside them.

import fc from 'fast-check'
import type { Calibration } from '../../../src/engine/exposure/calibration-noise.ts'
import type { Losses } from '../../../src/engine/exposure/losses.ts'
import type { PixelRates, Readout } from '../../../src/engine/exposure/noise.ts'

/** Holds a property; FAST_CHECK_SEED overrides the seed, which a failure prints. */
export function holds<T>(property: fc.IProperty<T>, options: { seed: number; numRuns: number }): void {
  const given = process.env.FAST_CHECK_SEED
  fc.assert(property, { ...options, ...(given !== undefined && { seed: Number(given) }) })
}

export const logUniform = (minimum: number, maximum: number): fc.Arbitrary<number> =>
  fc
    .double({ min: Math.log(minimum), max: Math.log(maximum), noNaN: true })
    .map((exponent) => Math.min(maximum, Math.max(minimum, Math.exp(exponent))))

/** Zero now and then, else log-uniform. */
export const zeroOr = (minimum: number, maximum: number): fc.Arbitrary<number> =>
  fc.oneof({ weight: 1, arbitrary: fc.constant(0) }, { weight: 4, arbitrary: logUniform(minimum, maximum) })

/** From nothing at all over the smallest numbers there are to the largest the contract lets in. */
export const extreme = (maximum: number): fc.Arbitrary<number> =>
  fc.oneof(
    fc.constantFrom(0, Number.MIN_VALUE, 1e-310, 1e-160, 1e-30, maximum),
    logUniform(1e-9, maximum),
    fc.double({ min: 0, max: maximum, noNaN: true }),
  )

const ratesOf = (rate: fc.Arbitrary<number>): fc.Arbitrary<PixelRates> =>
  fc.record({
    targetElectronsPerPixelSecond: rate,
    skyElectronsPerPixelSecond: rate,
    darkElectronsPerPixelSecond: rate,
  })

export const rates = ratesOf(zeroOr(1e-5, 1e5))
export const extremeRates = ratesOf(extreme(1e9))

export const readout: fc.Arbitrary<Readout> = fc.record({
  readNoiseElectrons: zeroOr(0.1, 100),
  quantizationElectrons2: zeroOr(1e-3, 10),
})
export const extremeReadout: fc.Arbitrary<Readout> = fc.record({
  readNoiseElectrons: extreme(1000),
  quantizationElectrons2: extreme(1e5),
})

export const calibration: fc.Arbitrary<Calibration> = fc.record(
  {
    darkFrames: fc.integer({ min: 1, max: 1e6 }),
    biasFrames: fc.integer({ min: 1, max: 1e6 }),
    flatFrames: fc.integer({ min: 1, max: 1e6 }),
    flatElectrons: logUniform(1, 1e8),
    ditherPositions: fc.integer({ min: 1, max: 1e6 }),
  },
  { requiredKeys: [] },
)

const lossesOf = (overhead: fc.Arbitrary<number>, interruptionsPerHour: fc.Arbitrary<number>): fc.Arbitrary<Losses> =>
  fc.record({
    overheadSeconds: overhead,
    interruptionsPerSecond: interruptionsPerHour.map((perHour) => perHour / 3600),
    interruptionCost: fc.constantFrom('found-afterwards' as const, 'aborted-at-once' as const),
  })

export const losses = lossesOf(zeroOr(0.01, 3600), zeroOr(1e-3, 3600))
export const extremeLosses = lossesOf(extreme(3600), extreme(3600))

/** Whether every number in a value, however deep, is finite. */
export function isFinite(value: unknown): boolean {
  if (typeof value === 'number') return Number.isFinite(value)
  if (typeof value !== 'object' || value === null) return true
  return Object.values(value).every(isFinite)
}

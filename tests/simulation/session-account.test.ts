// Subs that are all different, thrown electron by electron and weighted as the account says: the scatter of many pixels
// knows no formula. With 60,000 pixels a scatter is known to 0.3 %.

import t from 'tap'
import { sessionAccount } from '../../src/routes/session-account/index.ts'
import { near } from '../support/near.ts'
import { Draws } from './draws.ts'
import { PoissonCounts } from './poisson-counts.ts'

const PIXELS = 60_000
const READ_NOISE = 2.5
const DARK = 0.06
const TARGET = 0.12
const START = Date.UTC(2026, 10, 21, 20)

const NO_COUNTS = new PoissonCounts(0)

interface Sub {
  subSeconds: number
  sky: number
  transparency: number
}

/** A night of haze and rising Moon, in two lengths. */
function night(count: number): Sub[] {
  return Array.from({ length: count }, (_, index) => ({
    subSeconds: index % 3 === 0 ? 60 : 150,
    sky: 0.1 + 0.5 * (index / count) ** 2,
    transparency: index % 4 === 1 ? 0.35 : 1 - 0.02 * index,
  }))
}

interface Calibration {
  darkFrames?: number
  ditherPositions?: number
}

function account(subs: readonly Sub[], calibration: Calibration, combine: 'mean' | 'median' = 'mean') {
  const answer = sessionAccount.handle({
    camera: { readNoiseElectrons: READ_NOISE, darkCurrent: { electronsPerPixelSecond: DARK, atCelsius: -5 } },
    sky: { electronsPerPixelSecond: 0.1 },
    target: { electronsPerPixelSecond: TARGET },
    plan: { calibration, combine },
    everySub: true,
    subs: subs.map(({ subSeconds, sky, transparency }, index) => ({
      startedAt: new Date(START + index * 160_000).toISOString(),
      subSeconds,
      backgroundElectronsPerPixelSecond: sky,
      relativeStarFlux: transparency,
    })),
  })
  const [filter] = answer.filters
  if (filter?.subs === undefined) throw new Error('every sub was asked for')
  return { ...filter, subs: filter.subs }
}

/** Ratio of the mean that the target adds to the scatter, for one set of weights. */
function thrown(subs: readonly Sub[], weights: readonly number[], calibration: Calibration, seed: number): number {
  const draws = new Draws(seed)
  const counts = subs.map(({ subSeconds, sky, transparency }) => ({
    electrons: new PoissonCounts((sky + DARK) * subSeconds),
    target: new PoissonCounts(TARGET * transparency * subSeconds),
    darkLevel: DARK * subSeconds,
  }))
  const lengths = [...new Set(subs.map(({ subSeconds }) => subSeconds))]
  const darkCounts = lengths.map((subSeconds) => new PoissonCounts(DARK * subSeconds))
  const positions = calibration.ditherPositions ?? 1
  const masters = lengths.map(() => new Float64Array(positions))
  let withTarget = 0
  let squares = 0
  let without = 0
  for (let pixel = 0; pixel < PIXELS; pixel++) {
    lengths.forEach((subSeconds, length) => {
      const master = masters[length] ?? new Float64Array()
      const darks = darkCounts[length] ?? NO_COUNTS
      for (let position = 0; position < positions; position++) {
        master[position] =
          calibration.darkFrames === undefined ? DARK * subSeconds : masterDark(darks, calibration.darkFrames, draws)
      }
    })
    let sum = 0
    let empty = 0
    subs.forEach(({ subSeconds }, index) => {
      const { electrons = NO_COUNTS, target = NO_COUNTS } = counts[index] ?? {}
      const dark = masters[lengths.indexOf(subSeconds)]?.[positionOf(index, positions, subs.length)] ?? NaN
      const frame = electrons.next(draws) + READ_NOISE * draws.normal() - dark
      empty += (weights[index] ?? NaN) * frame
      sum += (weights[index] ?? NaN) * (frame + target.next(draws))
    })
    withTarget += sum
    squares += sum * sum
    without += empty
  }
  const mean = withTarget / PIXELS
  return (mean - without / PIXELS) / Math.sqrt(squares / PIXELS - mean ** 2)
}

/** Spread evenly, neither in step with the lengths nor with the haze. */
const positionOf = (index: number, positions: number, count: number) =>
  (positions >= count ? index : Math.floor(index / 3)) % positions

function masterDark(counts: PoissonCounts, frames: number, draws: Draws): number {
  let sum = 0
  for (let frame = 0; frame < frames; frame++) sum += counts.next(draws) + READ_NOISE * draws.normal()
  return sum / frames
}

const CASES: { name: string; count: number; calibration: Calibration }[] = [
  { name: 'calibration free of noise', count: 24, calibration: {} },
  { name: 'five darks of each length, no dither', count: 12, calibration: { darkFrames: 5 } },
  { name: 'two darks, three positions', count: 36, calibration: { darkFrames: 2, ditherPositions: 3 } },
  { name: 'two darks, a position for every sub', count: 12, calibration: { darkFrames: 2, ditherPositions: 12 } },
]

CASES.forEach(({ name, count, calibration }, seed) => {
  void t.test(name, (t) => {
    const subs = night(count)
    const { weighted, equal, subs: told } = account(subs, calibration)
    const { weights } = told
    near(t, weighted.snr, thrown(subs, weights, calibration, 300 + seed), 0.01, 'weighted')
    const alike = subs.map(() => 1)
    near(t, equal.snr, thrown(subs, alike, calibration, 400 + seed), 0.01, 'added up as they are')
    t.ok(weighted.snr > 1.02 * equal.snr, 'weights matter here')
    t.end()
  })
})

void t.test('a weighted median of subs that differ keeps what the median of subs alike keeps', (t) => {
  const count = 101
  const subs = night(count).map((sub, index) => ({ ...sub, sky: 1 + 0.05 * index, transparency: 1 - 0.007 * index }))
  const { weighted, subs: told } = account(subs, {}, 'median')
  const draws = new Draws(500)
  const yields = told.signalElectrons.map((a, index) => ({
    a,
    sigma: Math.sqrt(told.varianceElectrons2[index] ?? NaN),
  }))
  const TRIALS = 10_000
  let sum = 0
  let squares = 0
  for (let trial = 0; trial < TRIALS; trial++) {
    // In units of the target's brightness, each sub with the weight of its own noise.
    const values = yields.map(({ a, sigma }) => ({ value: 1 + (sigma / a) * draws.normal(), weight: a / sigma }))
    const found = weightedMedian(values)
    sum += found
    squares += found ** 2
  }
  const mean = sum / TRIALS
  // Ten thousand trials know a scatter to 0.7 %.
  near(t, weighted.snr, mean / Math.sqrt(squares / TRIALS - mean ** 2), 0.02, 'weighted median')
  t.end()
})

function weightedMedian(values: { value: number; weight: number }[]): number {
  const row = values.sort((one, other) => one.value - other.value)
  const half = row.reduce((sum, { weight }) => sum + weight, 0) / 2
  let passed = 0
  for (const { value, weight } of row) {
    passed += weight
    if (passed >= half) return value
  }
  return NaN
}

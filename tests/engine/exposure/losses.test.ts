import t from 'tap'
import fc from 'fast-check'
import {
  bestSubSeconds,
  clockSecondsPerKeptSub,
  cutRange,
  informationRate,
  LONGEST_SUB_SECONDS,
  SHORTEST_SUB_SECONDS,
  USEFUL_SHARE,
  usefulRange,
  type InformationModel,
  type InterruptionCost,
} from '../../../src/engine/exposure/losses.ts'
import { near, within } from '../../support/near.ts'
import { extreme, extremeLosses, holds, isFinite, logUniform, losses, zeroOr } from './arbitraries.ts'

/** o overhead, M mean time between interruptions, τ read noise as dead time; all in seconds. */
function model(it: { o: number; M: number; tau?: number; cost?: InterruptionCost }): InformationModel {
  return {
    overheadSeconds: it.o,
    interruptionsPerSecond: 1 / it.M,
    readNoiseSeconds: it.tau ?? 0,
    interruptionCost: it.cost ?? 'found-afterwards',
  }
}

/** The useful range about the best length, below a bound. */
const rangeOf = (it: InformationModel, longestSeconds: number | null = null) =>
  cutRange(usefulRange(it, bestSubSeconds(it)), longestSeconds, it)

/** The best length, where there is one. */
const best = (it: InformationModel) => bestSubSeconds(it) ?? NaN

void t.test('D-REN-01 optimum of subs found spoiled afterwards (computed; derived)', (t) => {
  const it = model({ o: 10, M: 1800 })
  within(t, best(it), 129.257, 5e-4, 't*')
  near(t, best(it), -5 + Math.sqrt(25 + 10 * 1800), 1e-11, 'closed form')
  within(t, informationRate(best(it), it), 0.863874, 5e-7, 'useful fraction')
  within(t, 1 - (best(it) + 10) / clockSecondsPerKeptSub(best(it), it), 0.0692919, 5e-8, 'loss per sub')
  t.end()
})

void t.test('D-REN-02 its approximation by a root (computed; derived)', (t) => {
  const it = model({ o: 10, M: 1800 })
  within(t, Math.sqrt(10 * 1800), 134.164, 5e-4, '√(oM)')
  near(t, best(it), 134.164 - 10 / 2, 1e-3, '√(oM) − o/2')
  t.end()
})

void t.test('D-REN-03 flatness about the optimum (computed; derived)', (t) => {
  const it = model({ o: 10, M: 1800 })
  const peak = informationRate(best(it), it)
  within(t, informationRate(best(it) / 2, it) / peak, 0.967109, 5e-7, 'half the length')
  within(t, informationRate(best(it) * 2, it) / peak, 0.96537, 5e-7, 'twice the length')
  t.end()
})

void t.test('D-REN-04 another optimum (computed; derived)', (t) => {
  const it = model({ o: 5, M: 600 })
  within(t, best(it), 52.3293, 5e-5, 't*')
  within(t, informationRate(best(it), it), 0.836548, 5e-7, 'useful fraction')
  t.end()
})

// Checkpoint theory lets an interruption spoil the overhead too. Its clock time M (e^((t+d)/M) − 1) is that of a restarted
// sub with a safe overhead of M (1 − e^(−d/M)), times e^(d/M): the optimum is the same.
for (const { id, d, M, exact, series, published, young } of [
  { id: 'D-REN-05', d: 5, M: 1440, exact: 116.690073326658938, series: 116.69, published: 117, young: 120 },
  { id: 'D-REN-06', d: 5, M: 15, exact: 9.1665028209357024, series: 9.14092, published: 9.1, young: 12.2474 },
]) {
  void t.test(`${id} checkpoint interval for ${d} min every ${M} min (Daly 2006; Young 1974)`, (t) => {
    const overhead = -M * Math.expm1(-d / M)
    const found = best(model({ o: overhead * 60, M: M * 60, cost: 'aborted-at-once' })) / 60
    near(t, found, exact, 1e-11, 'M [1 + W₀(−e^(−1 − d/M))]')
    const root = Math.sqrt(2 * d * M)
    near(t, root, young, 1e-5, 'Young')
    const daly = root * (1 + Math.sqrt(d / (2 * M)) / 3 + d / (2 * M) / 9) - d
    near(t, daly, series, 1e-5, 'Daly’s series')
    near(t, found, published, 1e-2, 'as published, to two or three digits')
    t.end()
  })
}

void t.test('D-REN-07 subs restarted at once, against those found spoiled afterwards (computed; derived)', (t) => {
  const atOnce = best(model({ o: 10, M: 1800, cost: 'aborted-at-once' }))
  within(t, atOnce, 183.375, 5e-4, 't*')
  near(t, atOnce, 183.375363402739431, 1e-11, 'M [1 + W₀((o/M − 1)/e)]')
  within(t, atOnce / best(model({ o: 10, M: 1800 })), 1.4187, 5e-5, 'ratio')
  t.end()
})

void t.test('D-REN-08 optimum with read noise (computed; derived)', (t) => {
  within(t, best(model({ o: 8, M: 1500, tau: 40 })), 251.805, 5e-4, 't*')
  near(t, best(model({ o: 8, M: 1500, tau: 40 })), 251.805133944546601, 1e-11, 'by 40-digit arithmetic')
  near(t, best(model({ o: 8, M: 1500, tau: 40, cost: 'aborted-at-once' })), 355.384636393262242, 1e-11, 'restarted')
  within(t, best(model({ o: 8, M: 1500 })), 105.618, 5e-4, 'without read noise')
  near(t, Math.sqrt(48 * 1500), 268.328, 1e-6, '√((o + τ) M)')
  near(t, best(model({ o: 40, M: 1500, tau: 8 })), 251.805133944546601, 1e-11, 'read noise acts as overhead does')
  t.end()
})

void t.test('D-REN-09 without read noise the simple optimum returns (computed; derived)', (t) => {
  within(t, best(model({ o: 10, M: 1800, tau: 0 })), 129.257, 5e-4, 't*')
  near(t, best(model({ o: 10, M: 1800, tau: 1e-9 })), best(model({ o: 10, M: 1800 })), 1e-9, 'limit')
  t.end()
})

/** Chance that at least `wanted` of `count` subs survive, each with the share of the clock that the engine says. */
function chanceOfSurvivors(it: { count: number; wanted: number; survival: number }): number {
  let chance = 0
  for (let survivors = it.wanted; survivors <= it.count; survivors++) {
    let ways = 1
    for (let k = 0; k < survivors; k++) ways *= (it.count - k) / (k + 1)
    chance += ways * it.survival ** survivors * (1 - it.survival) ** (it.count - survivors)
  }
  return chance
}

void t.test('D-REN-10 survivors of forty subs (computed; binomial)', (t) => {
  const it = model({ o: 7, M: 1000 })
  const survival = (100 + 7) / clockSecondsPerKeptSub(100, it)
  near(t, 40 * survival, 36.1935, 2e-6, 'mean')
  near(t, Math.sqrt(40 * survival * (1 - survival)), 1.85587, 2e-6, 'standard deviation')
  near(t, chanceOfSurvivors({ count: 40, wanted: 34, survival }), 0.918886, 1e-6, 'at least 34')
  t.end()
})

void t.test('D-REN-11 subs to plan so that 30 survive with 95 % (computed; binomial)', (t) => {
  const it = model({ o: 7, M: 100 / Math.log(1 / 0.9) })
  const survival = (100 + 7) / clockSecondsPerKeptSub(100, it)
  near(t, survival, 0.9, 1e-14, 'survival')
  const chance = (count: number) => chanceOfSurvivors({ count, wanted: 30, survival })
  t.ok(chance(36) < 0.95, '36 are too few')
  near(t, chance(37), 0.97256, 5e-6, 'chance with 37')
  near(t, chance(34), 0.7504, 5e-5, 'chance with 34, the naive 30/0.9')
  t.end()
})

void t.test('clock time of a kept sub', (t) => {
  const afterwards = model({ o: 20, M: 300 })
  const atOnce = model({ o: 20, M: 300, cost: 'aborted-at-once' })
  near(t, clockSecondsPerKeptSub(150, afterwards), 170 * Math.exp(0.5), 1e-14, 'found afterwards')
  near(t, clockSecondsPerKeptSub(150, atOnce), 300 * Math.expm1(0.5) + 20, 1e-14, 'restarted at once')
  for (const interruptionsPerSecond of [0, Number.MIN_VALUE]) {
    t.equal(clockSecondsPerKeptSub(150, { ...afterwards, interruptionsPerSecond }), 170)
    t.equal(clockSecondsPerKeptSub(150, { ...atOnce, interruptionsPerSecond }), 170)
    t.equal(clockSecondsPerKeptSub(0.25, { ...atOnce, interruptionsPerSecond, overheadSeconds: 0 }), 0.25)
  }
  t.end()
})

void t.test('share of an ideal detector', (t) => {
  const free = { overheadSeconds: 0, interruptionsPerSecond: 0, readNoiseSeconds: 0 }
  for (const interruptionCost of ['found-afterwards', 'aborted-at-once'] as const) {
    t.equal(informationRate(60, { ...free, interruptionCost }), 1, 'nothing lost')
    t.equal(informationRate(60, { ...free, interruptionCost, overheadSeconds: 20 }), 0.75, 'overhead')
    t.equal(informationRate(60, { ...free, interruptionCost, readNoiseSeconds: 20 }), 0.75, 'read noise')
  }
  near(t, informationRate(60, model({ o: 0, M: 60 })), 1 / Math.E, 1e-14, 'found afterwards')
  near(t, informationRate(60, model({ o: 0, M: 60, cost: 'aborted-at-once' })), 1 / (Math.E - 1), 1e-14, 'restarted')
  t.end()
})

void t.test('without interruptions longer is always better', (t) => {
  t.equal(bestSubSeconds({ ...model({ o: 10, M: 1 }), interruptionsPerSecond: 0 }), null)
  t.end()
})

void t.test('the optimum stays between a millisecond and a day', (t) => {
  for (const cost of ['found-afterwards', 'aborted-at-once'] as const) {
    t.equal(bestSubSeconds(model({ o: 0, M: 3600, cost })), SHORTEST_SUB_SECONDS, 'nothing asks for length')
    for (const M of [1e9, 1e25]) {
      t.equal(bestSubSeconds(model({ o: 0, M, cost })), SHORTEST_SUB_SECONDS, 'however rare interruptions are')
    }
    t.equal(bestSubSeconds(model({ o: 3600, M: 1e12, cost })), LONGEST_SUB_SECONDS, 'hardly any interruption')
    t.equal(bestSubSeconds(model({ o: 1e-9, M: 1, cost })), SHORTEST_SUB_SECONDS, 'below a millisecond')
  }
  t.end()
})

void t.test('rare interruptions cost no digits', (t) => {
  near(t, best(model({ o: 1e-4, M: 1e12, cost: 'aborted-at-once' })), 14142.1355570642843, 1e-7, '√(2 o M)')
  t.end()
})

void t.test('useful range in closed form', (t) => {
  const calm = (o: number, tau: number) => ({ ...model({ o, M: 1, tau }), interruptionsPerSecond: 0 })
  const overhead = rangeOf(calm(10, 0))
  near(t, overhead.fromSeconds, 190, 1e-11, 't/(t + o) = 0.95')
  t.equal(overhead.toSeconds, null, 'nothing argues against longer subs')
  const root = Math.sqrt(0.95)
  near(t, rangeOf(calm(10, 10)).fromSeconds, (10 * root) / (1 - root), 1e-11, 'overhead and read noise')
  t.same(rangeOf(calm(0, 0)), { fromSeconds: SHORTEST_SUB_SECONDS, toSeconds: null }, 'nothing is lost')
  const spoiled = rangeOf(model({ o: 0, M: 60 }))
  t.equal(spoiled.fromSeconds, SHORTEST_SUB_SECONDS)
  near(t, spoiled.toSeconds ?? NaN, 0.001 - 60 * Math.log(0.95), 1e-11, 'e^(−λt) = 0.95 e^(−λ/1000)')
  t.end()
})

void t.test('useful range under a hard bound', (t) => {
  const calm = { ...model({ o: 10, M: 1 }), interruptionsPerSecond: 0 }
  const cut = rangeOf(calm, 300)
  near(t, cut.fromSeconds, 190, 1e-11, 'from')
  t.equal(cut.toSeconds, 300, 'the bound cuts an open range')
  const below = rangeOf(calm, 50)
  near(t, below.fromSeconds, 38, 1e-11, 'within 5 % of what the bound allows: t/(t + 10) = 0.95 · 5/6')
  t.equal(below.toSeconds, 50)
  const windy = model({ o: 10, M: 1800 })
  const free = rangeOf(windy)
  t.same(rangeOf(windy, 1e4), free, 'a bound above the range changes nothing')
  t.same(rangeOf(windy, 150), { fromSeconds: free.fromSeconds, toSeconds: 150 }, 'a bound inside cuts it')
  t.same(rangeOf(windy, free.fromSeconds), { fromSeconds: free.fromSeconds, toSeconds: free.fromSeconds })
  t.same(rangeOf(windy, 0.0005), { fromSeconds: 0.0005, toSeconds: 0.0005 }, 'below the shortest sub')
  t.end()
})

void t.test('useful range at the end of what is considered', (t) => {
  const calm = { ...model({ o: 0, M: 1, tau: 1e12 }), interruptionsPerSecond: 0 }
  t.same(rangeOf(calm), { fromSeconds: LONGEST_SUB_SECONDS, toSeconds: null }, 'read noise for ages')
  const rare = rangeOf(model({ o: 3600, M: 1e12 }))
  t.equal(rare.toSeconds, LONGEST_SUB_SECONDS, 'no interruption in a day')
  // E = t/(t + o) but for one part in 10⁷, and its best is at a day: 0.95 · 24/25 of an hour's overhead.
  near(t, rare.fromSeconds, (3600 * 0.912) / 0.088, 2e-6, 'from')
  t.end()
})

/** E(t) written down again, by its logarithm so that nothing overflows. */
function information(seconds: number, it: InformationModel): number {
  const { overheadSeconds: o, interruptionsPerSecond: rate, readNoiseSeconds: tau } = it
  const read = seconds / (seconds + tau)
  if (rate === 0) return (read * seconds) / (seconds + o)
  if (it.interruptionCost === 'found-afterwards') return ((read * seconds) / (seconds + o)) * Math.exp(-rate * seconds)
  // Divided through by e^{λt}.
  const survives = Math.exp(-rate * seconds)
  return (read * seconds * survives) / (-Math.expm1(-rate * seconds) / rate + o * survives)
}

const GRID = Array.from({ length: 3000 }, (_, index) => 0.001 * 86400e3 ** (index / 2999))

const models = fc.tuple(losses, zeroOr(1e-3, 1e8)).map(([it, readNoiseSeconds]) => ({ ...it, readNoiseSeconds }))

void t.test('the optimum beats every length of a dense grid', (t) => {
  holds(
    fc.property(models, (it) => {
      const found = bestSubSeconds(it)
      if (found === null) return it.interruptionsPerSecond === 0
      const peak = information(found, it)
      const gridPeak = Math.max(...GRID.map((seconds) => information(seconds, it)))
      return peak >= gridPeak * (1 - 1e-12) && peak <= gridPeak * (1 + 1e-4)
    }),
    { seed: 211, numRuns: 300 },
  )
  t.pass('3000 lengths a model')
  t.end()
})

void t.test('inside the useful range every length is within 5 % of the best, outside none is', (t) => {
  const bound = fc.option(logUniform(0.001, 86400), { nil: null })
  holds(
    fc.property(models, bound, (it, longestSeconds) => {
      const { fromSeconds, toSeconds } = rangeOf(it, longestSeconds)
      const end = toSeconds ?? LONGEST_SUB_SECONDS
      const found = bestSubSeconds(it)
      const peak = found === null ? 1 : information(found, it)
      const allowed = GRID.filter((seconds) => seconds <= (longestSeconds ?? Infinity))
      const reaches = (seconds: number) => information(seconds, it) >= USEFUL_SHARE * peak * (1 - 1e-9)
      // Without interruptions read noise can ask for more than a day; a day is then all there is.
      const reachable = [...allowed, longestSeconds ?? LONGEST_SUB_SECONDS, found ?? 0.001].some(
        (seconds) => seconds <= (longestSeconds ?? Infinity) && reaches(seconds),
      )
      const level = USEFUL_SHARE * (reachable ? peak : information(longestSeconds ?? LONGEST_SUB_SECONDS, it))
      const good = (seconds: number) => information(seconds, it) >= level * (1 - 1e-9)
      const [low, high] = [fromSeconds * (1 - 1e-6), end * (1 + 1e-6)]
      const below = low < SHORTEST_SUB_SECONDS || information(low, it) < level
      const above = high > Math.min(longestSeconds ?? Infinity, LONGEST_SUB_SECONDS) || information(high, it) < level
      const lost = longestSeconds === null && !reachable
      return (
        fromSeconds <= end &&
        (lost ? fromSeconds === LONGEST_SUB_SECONDS : good(fromSeconds) && good(end) && below && above) &&
        allowed.every((seconds) => (seconds >= fromSeconds && seconds <= end ? lost || good(seconds) : true)) &&
        allowed.every((seconds) => (seconds < low || seconds > high ? lost || information(seconds, it) < level : true))
      )
    }),
    { seed: 212, numRuns: 400 },
  )
  t.pass('3000 lengths a model')
  t.end()
})

void t.test('every figure is finite, whatever comes', (t) => {
  holds(
    fc.property(
      extremeLosses,
      extreme(1e12),
      fc.option(logUniform(0.001, 86400), { nil: null }),
      (it, tau, longest) => {
        const given = { ...it, readNoiseSeconds: tau }
        const range = rangeOf(given, longest)
        const found = bestSubSeconds(given)
        const shares = [range.fromSeconds, range.toSeconds ?? 1, found ?? 1].map((s) => informationRate(s, given))
        return (
          isFinite([range, found, shares]) &&
          shares.every((share) => share >= 0 && share <= 1 + 1e-15) &&
          range.fromSeconds <= (range.toSeconds ?? Infinity) &&
          (range.toSeconds ?? 0) <= (longest ?? Infinity)
        )
      },
    ),
    { seed: 213, numRuns: 1000 },
  )
  t.pass('finite')
  t.end()
})

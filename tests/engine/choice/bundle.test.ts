// The chosen bundle against brute force that shares no code with it: every bit mask, judged by a plain loop.

import fc from 'fast-check'
import t from 'tap'
import { bestBundle, MOST_CHANGES, type Outcome } from '../../../src/engine/index.ts'
import { refuses } from '../../support/near.ts'

const SEED = Number(process.env.FUZZ_SEED ?? 20261125)
const CASES = 500

interface Case {
  prices: number[]
  budget: number
  /** Outcome by bit mask; changes interact without any rule. */
  seconds: (number | null)[]
  snr: number[]
  impossible: boolean[]
  exclusive: boolean[][]
}

const small = fc.integer({ min: 1, max: 6 }).chain((size): fc.Arbitrary<Case> => {
  const sets = 2 ** size
  const exactly = <Value>(value: fc.Arbitrary<Value>, length: number) =>
    fc.array(value, { minLength: length, maxLength: length })
  return fc.record({
    // Few different values, so that ties are common.
    prices: exactly(fc.constantFrom(0, 0.1, 0.2, 0.3, 1, 2, 5), size),
    budget: fc.constantFrom(0, 0.3, 0.6, 1, 3, 7, 30),
    seconds: exactly(fc.option(fc.integer({ min: 1, max: 20 })), sets),
    snr: exactly(fc.integer({ min: 0, max: 5 }), sets),
    impossible: exactly(fc.constantFrom(false, false, false, true), sets),
    exclusive: exactly(exactly(fc.constantFrom(false, false, false, true), size), size),
  })
})

const maskOf = (members: readonly number[]) => members.reduce((mask, member) => mask + 2 ** member, 0)

/** Sort key of the best mask: unreachable last, then time, night (larger first), price in tenths, number of members. */
function bruteForce({ prices, budget, seconds, snr, impossible, exclusive }: Case): number[] | null {
  let best: number[] | null = null
  for (let mask = 0; mask < 2 ** prices.length; mask++) {
    const members = prices.flatMap((_, index) => ((mask >> index) & 1 ? [index] : []))
    const tenths = members.reduce((sum, member) => sum + Math.round(10 * (prices[member] ?? NaN)), 0)
    if (impossible[mask] === true || tenths > Math.round(10 * budget)) continue
    if (members.some((a) => members.some((b) => a < b && exclusive[a]?.[b] === true))) continue
    const time = seconds[mask] ?? null
    const key = [time === null ? 1 : 0, time ?? 0, -(snr[mask] ?? NaN), tenths, members.length]
    const current = best
    const differs = current === null ? 0 : key.findIndex((value, index) => value !== current[index])
    if (current === null || (differs >= 0 && (key[differs] ?? NaN) < (current[differs] ?? NaN))) best = key
  }
  return best
}

void t.test(`the bundle is the optimum of ${CASES} random small cases (seed ${SEED})`, (t) => {
  let answered = 0
  fc.assert(
    fc.property(small, (it) => {
      const outcomeOf = (members: readonly number[]): Outcome | null => {
        const mask = maskOf(members)
        if (it.impossible[mask] === true) return null
        return { seconds: it.seconds[mask] ?? null, nightSnr: it.snr[mask] ?? NaN }
      }
      const bundle = bestBundle({
        prices: it.prices,
        budget: it.budget,
        exclusive: (one, other) => it.exclusive[one]?.[other] ?? false,
        outcomeOf,
      })
      const best = bruteForce(it)
      if (bundle === null || best === null) {
        if (bundle !== best) throw new Error('one of the two found nothing')
        return
      }
      answered++
      const { seconds, nightSnr } = bundle.outcome
      const found = [
        seconds === null ? 1 : 0,
        seconds ?? 0,
        -nightSnr,
        Math.round(10 * bundle.price),
        bundle.members.length,
      ]
      if (found.some((value, index) => value !== best[index])) throw new Error(`${found.join()} for ${best.join()}`)
    }),
    { numRuns: CASES, seed: SEED },
  )
  t.ok(answered > CASES / 2, `${answered} cases have a bundle`)
  t.end()
})

void t.test('prices that add up to the budget within rounding are affordable', (t) => {
  const outcomeOf = (members: readonly number[]) => ({ seconds: 10 - members.length, nightSnr: 1 })
  const bundle = bestBundle({ prices: [0.1, 0.2], budget: 0.3, exclusive: () => false, outcomeOf })
  t.same(bundle?.members, [0, 1])
  t.end()
})

void t.test('equals go to the cheaper, then to the smaller, and nothing useful is bought', (t) => {
  const same = () => ({ seconds: 10, nightSnr: 1 })
  t.same(bestBundle({ prices: [1, 0], budget: 5, exclusive: () => false, outcomeOf: same })?.members, [])
  t.equal(bestBundle({ prices: [1], budget: 5, exclusive: () => false, outcomeOf: () => null }), null)
  t.end()
})

void t.test('too many changes are refused', (t) => {
  const prices = Array.from({ length: MOST_CHANGES + 1 }, () => 1)
  const ask = () => bestBundle({ prices, budget: 1, exclusive: () => false, outcomeOf: () => null })
  refuses(t, ask, 'out-of-range', 'thirteen')
  t.end()
})

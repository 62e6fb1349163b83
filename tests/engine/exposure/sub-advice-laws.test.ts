// Laws that hold for every advice, whatever its numbers.

import fc from 'fast-check'
import t from 'tap'
import { EngineError } from '../../../src/engine/errors.ts'
import { informationRate } from '../../../src/engine/exposure/losses.ts'
import {
  adviseSub,
  type ReadMode,
  type SubAdvice,
  type SubAdviceInput,
} from '../../../src/engine/exposure/sub-advice.ts'
import { readNoiseSeconds } from '../../../src/engine/exposure/sub-bounds.ts'
import {
  extreme,
  extremeLosses,
  extremeRates,
  extremeReadout,
  holds,
  isFinite,
  logUniform,
  losses,
  rates,
  readout,
} from './arbitraries.ts'

const length = logUniform(0.001, 86400)
const bounds = {
  readNoiseTolerance: logUniform(0.001, 10),
  trackedSeconds: length,
  longestSeconds: length,
}
const ladder = fc.array(length, { minLength: 1, maxLength: 8 })
const modeOf = (it: typeof readout, well: fc.Arbitrary<number>): fc.Arbitrary<ReadMode> =>
  fc.record({ label: fc.string(), readout: it, usableWellElectrons: fc.option(well, { nil: null }) })

const required = ['rates', 'modes', 'losses', 'readNoiseTolerance'] as const
const questions: fc.Arbitrary<SubAdviceInput> = fc.record(
  {
    rates,
    modes: fc.array(modeOf(readout, logUniform(100, 1e8)), { minLength: 1, maxLength: 3 }),
    losses,
    starPeakElectronsPerSecond: logUniform(1e-3, 1e7),
    ...bounds,
  },
  { requiredKeys: [...required] },
)
const extremes: fc.Arbitrary<SubAdviceInput> = fc.record(
  {
    rates: extremeRates,
    modes: fc.array(modeOf(extremeReadout, extreme(1e8)), { minLength: 1, maxLength: 3 }),
    losses: extremeLosses,
    starPeakElectronsPerSecond: extreme(1e18),
    brightestBackgroundElectronsPerSecond: extreme(1e9),
    ladderSeconds: ladder,
    ...bounds,
  },
  { requiredKeys: [...required] },
)

/** The advice; null where the question is refused by a typed error. */
function answer(input: SubAdviceInput): SubAdvice | null {
  try {
    return adviseSub(input)
  } catch (error) {
    if (error instanceof EngineError) return null
    throw error
  }
}

/** Whether an advice keeps every hard bound, and lies in the useful range unless a ladder forbids. */
function keepsBounds(input: SubAdviceInput, advice: SubAdvice): boolean {
  const { subSeconds, usefulRange, limits, withinUsefulRange } = advice
  const { fromSeconds, toSeconds } = usefulRange
  const inside = subSeconds >= fromSeconds && subSeconds <= (toSeconds ?? Infinity)
  return (
    limits.every(({ hard, seconds }) => !hard || subSeconds <= seconds) &&
    subSeconds >= 0.001 &&
    inside === withinUsefulRange &&
    (input.ladderSeconds === undefined ? inside : input.ladderSeconds.includes(subSeconds))
  )
}

void t.test('advice keeps the hard bounds and lies in the useful range, or on the ladder', (t) => {
  holds(
    fc.property(questions, fc.option(ladder), (question, ladderSeconds) => {
      const input = { ...question, ...(ladderSeconds !== null && { ladderSeconds }) }
      const advice = answer(input)
      return advice === null || (keepsBounds(input, advice) && isFinite(advice))
    }),
    { seed: 233, numRuns: 2000 },
  )
  t.pass('always')
  t.end()
})

void t.test('at the extremes nothing is NaN, nothing infinite, and every refusal is typed', (t) => {
  holds(
    fc.property(extremes, (input) => {
      const advice = answer(input)
      return (
        advice === null ||
        (isFinite(advice) &&
          advice.byMode.every((it) => keepsBounds(input, { ...it, byMode: [] })) &&
          advice.informationShare >= 0 &&
          advice.informationShare <= 1 + 1e-12)
      )
    }),
    { seed: 234, numRuns: 4000 },
  )
  t.pass('always')
  t.end()
})

void t.test('without a ladder the advice is within 5 % of the best that the bounds allow', (t) => {
  holds(
    fc.property(questions, (input) => {
      const advice = answer(input)
      if (advice === null) return true
      const model = {
        ...input.losses,
        readNoiseSeconds: readNoiseSeconds({ rates: input.rates, readout: advice.mode.readout }),
      }
      const ceiling = Math.min(86400, ...advice.limits.filter(({ hard }) => hard).map(({ seconds }) => seconds))
      const allowed = Math.min(advice.bestSeconds ?? Infinity, ceiling)
      return informationRate(advice.subSeconds, model) >= 0.95 * informationRate(allowed, model) * (1 - 1e-9)
    }),
    { seed: 235, numRuns: 1000 },
  )
  t.pass('always')
  t.end()
})

void t.test('a tighter bound never lengthens the advice', (t) => {
  holds(
    fc.property(questions, length, fc.double({ min: 0.1, max: 1, noNaN: true }), (given, bound, part) => {
      const input = { ...given, modes: given.modes.slice(0, 1) }
      const loose = answer({ ...input, longestSeconds: bound })
      const tight = answer({ ...input, longestSeconds: bound * part })
      return loose === null || tight === null || tight.subSeconds <= loose.subSeconds
    }),
    { seed: 236, numRuns: 1000 },
  )
  t.pass('never')
  t.end()
})

void t.test('the optimum scales with the light, the dead time and the time between interruptions', (t) => {
  holds(
    fc.property(questions, (given) => {
      const { rates: r, losses: l, modes, readNoiseTolerance } = given
      const k = 16
      const slower = {
        rates: {
          targetElectronsPerPixelSecond: r.targetElectronsPerPixelSecond / k,
          skyElectronsPerPixelSecond: r.skyElectronsPerPixelSecond / k,
          darkElectronsPerPixelSecond: r.darkElectronsPerPixelSecond / k,
        },
        losses: {
          ...l,
          overheadSeconds: l.overheadSeconds * k,
          interruptionsPerSecond: l.interruptionsPerSecond / k,
        },
      }
      const base = answer({ rates: r, losses: l, modes, readNoiseTolerance })
      const scaled = answer({ ...slower, modes, readNoiseTolerance })
      const [best, late] = [base?.bestSeconds ?? null, scaled?.bestSeconds ?? null]
      // The scale stops at either end of what is considered, and where no electron arrives at all.
      if (Object.values(r).every((rate) => rate === 0)) return true
      if (best === null || late === null || best <= 0.001 || late >= 86400) return true
      return base?.mode.label !== scaled?.mode.label || Math.abs(late / best / k - 1) < 1e-9
    }),
    { seed: 237, numRuns: 500 },
  )
  t.pass('any')
  t.end()
})

void t.test('permuting the read modes permutes their advice and nothing else', (t) => {
  holds(
    fc.property(questions, (input) => {
      const [forwards, backwards] = [answer(input), answer({ ...input, modes: input.modes.toReversed() })]
      if (forwards === null || backwards === null) return forwards === backwards
      const text = (advice: SubAdvice) => advice.byMode.map((it) => JSON.stringify(it))
      return text(forwards).join() === text(backwards).toReversed().join()
    }),
    { seed: 238, numRuns: 500 },
  )
  t.pass('any order')
  t.end()
})

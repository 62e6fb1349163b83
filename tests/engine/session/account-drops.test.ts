import t from 'tap'
import { EqualStack, subsToDrop, type AccountModel, type SubTerms } from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { seededRandom, type Random } from '../../support/random.ts'
import { pixelModel } from './models.ts'

/** The work done in one go. */
function dropped(terms: SubTerms, model: AccountModel): number[] {
  const work = subsToDrop(terms, model)
  for (;;) {
    const step = work.next()
    if (step.done === true) return step.value
  }
}

const termsOf = (
  signals: number[],
  variances: number[],
  backgrounds = signals.map(() => 0),
  masters = [0],
): SubTerms => ({
  signals: Float64Array.from(signals),
  variances: Float64Array.from(variances),
  backgrounds: Float64Array.from(backgrounds),
  masters: Uint32Array.from(signals, (_, index) => masters[index % masters.length] ?? 0),
})

function bestOfAll(terms: SubTerms, model: AccountModel): number {
  const count = terms.signals.length
  let best = 0
  for (let mask = 1; mask < 2 ** count; mask++) {
    const stack = new EqualStack(terms, model)
    for (let index = 0; index < count; index++) if ((mask >> index) % 2 === 1) stack.move(index, 1)
    best = Math.max(best, stack.information)
  }
  return best
}

function keptOf(terms: SubTerms, model: AccountModel): { information: number; dropped: number } {
  const indices = dropped(terms, model)
  const stack = EqualStack.of(terms, model)
  for (const index of indices) stack.move(index, -1)
  return { information: stack.information, dropped: indices.length }
}

const chanceTerms = ({ uniform }: Random, count: number) =>
  termsOf(
    Array.from({ length: count }, () => 10 * uniform() ** 3),
    Array.from({ length: count }, () => 1 + 60 * uniform() ** 4),
    Array.from({ length: count }, () => 40 * uniform() ** 2),
    [0, 0, 1],
  )

void t.test('the best set of all 1,023, over forty logs of chance', (t) => {
  const random = seededRandom(1)
  let dropping = 0
  for (let log = 0; log < 40; log++) {
    const terms = chanceTerms(random, 10)
    const { information, dropped } = keptOf(terms, pixelModel({ masters: [0, 0] }))
    near(t, information, bestOfAll(terms, pixelModel({ masters: [0, 0] })), 1e-9, `log ${log}, ${dropped} dropped`)
    if (dropped > 0) dropping++
  }
  t.ok(dropping > 20, `${dropping} logs had something to drop`)
  t.end()
})

void t.test('with what calibration leaves, within a per cent of the best set, and mostly it', (t) => {
  const random = seededRandom(2)
  let exact = 0
  let moreThanByWeights = 0
  for (let log = 0; log < 60; log++) {
    const terms = chanceTerms(random, 9)
    const calibration = { darkFrames: 1, flatFrames: 1, flatElectrons: 400, ditherPositions: 1 + (log % 4) }
    const model = pixelModel({ calibration, masters: [1 + 9 * random.uniform(), 5 * random.uniform()] })
    const { information, dropped: count } = keptOf(terms, model)
    const best = bestOfAll(terms, model)
    t.ok(information >= 0.99 * best, `log ${log}: ${information / best}`)
    if (information >= best * (1 - 1e-9)) exact++
    if (count > dropped(terms, pixelModel({ masters: [0, 0] })).length) moreThanByWeights++
  }
  t.ok(exact >= 57, `${exact} of 60 exactly`)
  t.ok(moreThanByWeights > 5, `${moreThanByWeights} times calibration matters`)
  t.end()
})

void t.test('no sub of a long log is then worth dropping, or taking back', (t) => {
  const random = seededRandom(5)
  for (const count of [40, 400, 4000]) {
    const terms = chanceTerms(random, count)
    const model = pixelModel({ calibration: { darkFrames: 4, ditherPositions: 3 }, masters: [0.3, 2] })
    const indices = dropped(terms, model)
    const stack = EqualStack.of(terms, model)
    const all = stack.information
    for (const index of indices) stack.move(index, -1)
    t.ok(indices.length > count / 20 && stack.information > all, `${indices.length} of ${count} dropped`)
    const isDropped = new Set(indices)
    const gains = Array.from({ length: count }, (_, index) => {
      const moved = stack.informationWith(index, isDropped.has(index) ? 1 : -1)
      return moved / stack.information - 1
    })
    t.ok(Math.max(...gains) < 1e-6, `${count} subs: a single move gains ${Math.max(...gains)} at most`)
  }
  t.end()
})

void t.test('the least useful comes first, and what costs nothing stays', (t) => {
  const dropsOf = (signals: number[], variances: number[]) => dropped(termsOf(signals, variances), pixelModel())
  t.same(dropsOf([10, 0.1, 10, 0.5], [20, 50, 20, 30]), [1, 3])
  t.same(dropsOf([10, 0], [20, 0]), [], 'an empty sub without noise stays')
  t.same(dropsOf([5, 5, 5], [9, 9, 9]), [], 'subs alike all stay')
  t.same(dropsOf([0, 0], [9, 9]), [], 'without any light no set is better')
  t.same(dropsOf([], []), [], 'nothing')
  const noisy = pixelModel({ calibration: { darkFrames: 1 }, masters: [1] })
  t.same(dropped(termsOf([5, 5, 5], [9, 9, 9]), noisy), [], 'nor is one dropped for what all share')
  t.end()
})

void t.test('many subs are dropped together where dropping any one of them alone would cost', (t) => {
  const many = Array.from({ length: 30 }, () => 1)
  const terms = termsOf([1, ...many.map(() => 0.0045)], [1, ...many.map(() => 0.01)])
  const model = pixelModel({ calibration: { darkFrames: 1 }, masters: [1e-9] })
  t.equal(dropped(terms, model).length, 30)
  t.end()
})

// The choice out of a ladder of lengths, and out of several read modes.

import t from 'tap'
import { adviseSub, type ReadMode, type SubAdviceInput } from '../../../src/engine/exposure/sub-advice.ts'
import { refuses } from '../../support/near.ts'

function mode(label: string, readNoiseElectrons: number, usableWellElectrons: number | null = null): ReadMode {
  return { label, readout: { readNoiseElectrons, quantizationElectrons2: 0 }, usableWellElectrons }
}

/** Dead time 10 s, an interruption every half hour: the optimum is 134.6 s, the useful range 55 to 319 s. */
const WINDY: SubAdviceInput = {
  rates: { targetElectronsPerPixelSecond: 0, skyElectronsPerPixelSecond: 10, darkElectronsPerPixelSecond: 0 },
  modes: [mode('only', 3)],
  losses: { overheadSeconds: 10, interruptionsPerSecond: 1 / 1800, interruptionCost: 'found-afterwards' },
  readNoiseTolerance: 0.05,
}
/** No interruptions: from 190 s on any length is within 5 %. */
const CALM: SubAdviceInput = {
  ...WINDY,
  modes: [mode('only', 0)],
  losses: { ...WINDY.losses, interruptionsPerSecond: 0 },
}

void t.test('of a ladder the length that collects most', (t) => {
  const pick = (...ladderSeconds: number[]) => adviseSub({ ...WINDY, ladderSeconds })
  t.equal(pick(30, 60, 120, 300).subSeconds, 120)
  t.equal(pick(300, 120, 60, 30).subSeconds, 120, 'in any order')
  t.equal(pick(60, 300).subSeconds, 60, '0.956 against 0.955')
  t.equal(pick(120, 120).subSeconds, 120, 'given twice')
  t.equal(pick(97).subSeconds, 97, 'never rounded')
  t.ok(pick(30, 60, 120, 300).withinUsefulRange)
  t.end()
})

void t.test('the ladder that was given is left as it was', (t) => {
  const ladderSeconds = [300, 30, 120]
  adviseSub({ ...WINDY, ladderSeconds })
  t.same(ladderSeconds, [300, 30, 120])
  t.end()
})

void t.test('a ladder may miss the useful range, on either side', (t) => {
  for (const ladderSeconds of [
    [5, 30],
    [900, 600],
  ]) {
    const advice = adviseSub({ ...WINDY, ladderSeconds })
    t.equal(advice.subSeconds, ladderSeconds[1])
    t.notOk(advice.withinUsefulRange)
    t.ok(advice.informationShare < 0.95)
  }
  t.end()
})

void t.test('of rungs that no sub survives the shortest', (t) => {
  const losses = { ...WINDY.losses, interruptionsPerSecond: 1 }
  const advice = adviseSub({ ...WINDY, losses, ladderSeconds: [86400, 86000] })
  t.equal(advice.subSeconds, 86000, 'of equals the shortest')
  t.equal(advice.informationShare, 0)
  t.end()
})

void t.test('hard bounds hold for a ladder', (t) => {
  t.equal(adviseSub({ ...WINDY, ladderSeconds: [30, 60, 120], trackedSeconds: 119 }).subSeconds, 60)
  t.equal(adviseSub({ ...WINDY, ladderSeconds: [30, 60, 120], trackedSeconds: 120 }).subSeconds, 120, 'up to the bound')
  t.throws(() => adviseSub({ ...WINDY, ladderSeconds: [120, 60], trackedSeconds: 45 }), {
    code: 'no-solution',
    message: 'Every length of the ladder lies above the bound “tracking”.',
    details: { field: 'ladderSeconds', given: 60, allowed: 'at most 45 s' },
  })
  t.end()
})

void t.test('a ladder has rungs, of lengths that a sub can have', (t) => {
  for (const ladderSeconds of [[], [0, 60], [90000]]) {
    refuses(t, () => adviseSub({ ...WINDY, ladderSeconds }), 'out-of-range', `[${ladderSeconds.join(', ')}]`)
  }
  t.end()
})

void t.test('without interruptions the shortest rung that is good enough', (t) => {
  const pick = (...ladderSeconds: number[]) => adviseSub({ ...CALM, ladderSeconds })
  t.equal(pick(600, 180, 200, 300).subSeconds, 200)
  t.equal(pick(190, 600).subSeconds, 190, '190/200 is 0.95 exactly')
  t.equal(pick(190, 600).withinUsefulRange, true)
  t.equal(pick(60, 120, 180).subSeconds, 180, 'none is: the longest')
  t.notOk(pick(60, 120, 180).withinUsefulRange)
  t.equal(adviseSub({ ...CALM, ladderSeconds: [60, 120, 300], trackedSeconds: 250 }).subSeconds, 120, 'under a bound')
  t.end()
})

void t.test('the read mode that collects most in an hour', (t) => {
  const modes = [mode('high', 9), mode('low', 1), mode('middle', 4)]
  const advice = adviseSub({ ...WINDY, modes })
  t.equal(advice.mode.label, 'low')
  t.same(
    advice.byMode.map((it) => it.mode.label),
    ['high', 'low', 'middle'],
    'every mode, in the order given',
  )
  const { byMode, ...advised } = advice
  t.same(advised, byMode[1])
  for (const [index, it] of modes.entries()) {
    t.same(adviseSub({ ...WINDY, modes: [it] }).byMode, [byMode[index]], `${it.label} as if it were alone`)
  }
  t.end()
})

void t.test('of modes within 1 % the one with the deepest well', (t) => {
  // R of 1.2 against 1 costs 0.2 % here, R of 9 costs 4 %.
  const label = (...modes: ReadMode[]) => adviseSub({ ...WINDY, modes }).mode.label
  t.equal(label(mode('shallow', 1, 20000), mode('deep', 1.2, 60000)), 'deep')
  t.equal(label(mode('deep', 1.2, 60000), mode('shallow', 1, 20000)), 'deep')
  t.equal(label(mode('shallow', 1, 20000), mode('noisy', 9, 90000)), 'shallow', 'four per cent are too many')
  t.equal(label(mode('unknown', 1), mode('known', 1.2, 20000)), 'known', 'an unknown well is no deep one')
  t.equal(label(mode('known', 1.2, 20000), mode('unknown', 1)), 'known')
  t.equal(label(mode('first', 1, 20000), mode('second', 1, 20000)), 'first', 'equals in the order given')
  t.end()
})

void t.test('a mode that saturates at once is passed over', (t) => {
  const advice = adviseSub({ ...WINDY, modes: [mode('shallow', 1, 0.01), mode('deep', 9, 60000)] })
  t.equal(advice.mode.label, 'deep')
  t.equal(advice.byMode.length, 1)
  const every = { ...WINDY, modes: [mode('shallow', 1, 0.01), mode('shallower', 9, 0.001)] }
  refuses(t, () => adviseSub(every), 'saturates-at-once', 'all of them do')
  t.end()
})

void t.test('without read modes there is nothing to advise', (t) => {
  refuses(t, () => adviseSub({ ...WINDY, modes: [] }), 'not-enough-data', 'none')
  t.end()
})

void t.test('a fault that is no refusal is not swallowed', (t) => {
  const broken: ReadMode = {
    ...mode('broken', 1),
    get readout(): never {
      throw new TypeError('broken')
    },
  }
  t.throws(() => adviseSub({ ...WINDY, modes: [broken, mode('whole', 3)] }), { name: 'TypeError' })
  t.end()
})

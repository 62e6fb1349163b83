import t from 'tap'
import fc from 'fast-check'
import { nearestRoundSeconds, roundDown, roundUp } from '../../../src/engine/exposure/round-lengths.ts'
import { holds, logUniform } from './arbitraries.ts'

// Each length with the round lengths on either side. A round length is its own neighbour.
for (const [seconds, down, up] of [
  [0.0005, 0, 0.001],
  [0.001, 0.001, 0.001],
  [0.0011, 0.001, 0.002],
  [0.003, 0.002, 0.005],
  [0.02, 0.02, 0.02],
  [0.049, 0.02, 0.05],
  [0.3, 0.2, 0.5],
  [0.7, 0.5, 1],
  [1, 1, 1],
  [1.2, 1, 2],
  [9.1, 9, 10],
  [10, 10, 10],
  [11, 10, 15],
  [29, 25, 30],
  [30, 30, 30],
  [31, 30, 40],
  [59, 50, 60],
  [60, 60, 60],
  [61, 60, 90],
  [299, 270, 300],
  [300, 300, 300],
  [301, 300, 360],
  [1199, 1140, 1200],
  [1200, 1200, 1200],
  [1201, 1200, 1500],
  [1506, 1500, 1800],
  [86399, 86100, 86400],
  [86400, 86400, 86400],
] as const) {
  void t.test(`${seconds} s lies between ${down} and ${up} s`, (t) => {
    t.equal(roundDown(seconds), down)
    t.equal(roundUp(seconds), up)
    t.end()
  })
}

const OPEN = { from: 0.001, to: null }

void t.test('the nearest is nearest by ratio', (t) => {
  t.equal(nearestRoundSeconds(74, { from: 0, to: null }), 90, '90/74 is less than 74/60')
  t.equal(nearestRoundSeconds(73, { from: 0, to: null }), 60)
  t.equal(nearestRoundSeconds(120, OPEN), 120)
  t.equal(nearestRoundSeconds(0.0005, OPEN), 0.001, 'there is none below a millisecond')
  t.end()
})

void t.test('a range narrows the choice to what it holds', (t) => {
  t.equal(nearestRoundSeconds(61, { from: 61, to: 100 }), 90, 'not 60, which is nearer')
  t.equal(nearestRoundSeconds(89, { from: 55, to: 89 }), 60, 'not 90, which is nearer')
  t.equal(nearestRoundSeconds(20, { from: 100, to: 200 }), 120, 'below the range: its first')
  t.equal(nearestRoundSeconds(4000, { from: 100, to: 200 }), 180, 'above the range: its last')
  t.equal(nearestRoundSeconds(20, { from: 120, to: 120 }), 120, 'the ends belong to it')
  t.equal(nearestRoundSeconds(20, { from: 100, to: null }), 120, 'open above')
  t.end()
})

void t.test('in a range too narrow for a round length, two digits stand in', (t) => {
  t.equal(nearestRoundSeconds(70, { from: 61, to: 89 }), 89, 'the end itself')
  t.equal(nearestRoundSeconds(70, { from: 61, to: 88.6 }), 88, 'cut, never rounded up')
  t.equal(nearestRoundSeconds(1345, { from: 1201, to: 1389 }), 1300)
  t.equal(nearestRoundSeconds(0.35, { from: 0.21, to: 0.449 }), 0.44)
  t.equal(nearestRoundSeconds(0.0004, { from: 0.0001, to: 0.0009 }), 0.0009, 'not 0.00089')
  t.equal(nearestRoundSeconds(0.0004, { from: 0, to: 0.0009 }), 0.0009, 'no time at all is no length')
  t.end()
})

void t.test('a range may hold neither', (t) => {
  t.equal(nearestRoundSeconds(88.5, { from: 88.2, to: 88.9 }), null)
  t.equal(nearestRoundSeconds(1340, { from: 1330, to: 1370 }), null)
  t.end()
})

/** Every round length of the table, written down once more. */
const ALL = [
  ...[0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9],
  ...[10, 15, 20, 25, 30, 40, 50, 60, 90, 120, 150, 180, 210, 240, 270],
  ...Array.from({ length: 15 }, (_, index) => 300 + 60 * index),
  ...Array.from({ length: 285 }, (_, index) => 1200 + 300 * index),
]

void t.test('no round length of the range is nearer than the one that is found', (t) => {
  const length = logUniform(0.001, 86400)
  holds(
    fc.property(length, length, fc.option(length, { nil: null }), (seconds, from, span) => {
      const to = span === null ? null : Math.min(86400, from * (1 + span / 1000))
      const found = nearestRoundSeconds(seconds, { from, to })
      const inside = ALL.filter((it) => it >= from && it <= (to ?? Infinity))
      const off = (it: number) => Math.abs(Math.log(it / seconds))
      if (inside.length > 0) {
        return found !== null && inside.includes(found) && inside.every((it) => off(it) >= off(found))
      }
      if (to === null) return found === null
      const digits = Math.ceil(Math.log10(to)) - 2
      const [end = ''] = (to / 10 ** digits).toFixed(6).split('.')
      const cut = Number(`${end}e${digits}`)
      return found === (cut >= from ? cut : null)
    }),
    { seed: 214, numRuns: 2000 },
  )
  t.pass('by exhaustion')
  t.end()
})

void t.test('rounding moves a length by less than a factor of 1.6 below a second, 1.42 above', (t) => {
  holds(
    fc.property(logUniform(0.001, 86400), (seconds) => {
      const found = nearestRoundSeconds(seconds, OPEN) ?? NaN
      const ratio = Math.max(found / seconds, seconds / found)
      return ratio < (seconds < 1 ? 1.6 : 1.42)
    }),
    { seed: 215, numRuns: 1000 },
  )
  t.pass('never more')
  t.end()
})

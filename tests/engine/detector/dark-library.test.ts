import fc from 'fast-check'
import t from 'tap'
import { smallestDarkLibrary, type PlannedSubs } from '../../../src/engine/detector/dark-library.ts'
import { refuses } from '../../support/near.ts'

const at = (subSeconds: number, temperatureCelsius: number): PlannedSubs => ({
  subSeconds,
  coldestCelsius: temperatureCelsius,
  warmestCelsius: temperatureCelsius,
})

void t.test('one dark serves what lies within the tolerance of it, per length', (t) => {
  const planned = [at(300, -10), at(300, -9), at(60, -10), at(300, -5), at(300, -11)]
  t.same(smallestDarkLibrary({ planned, toleranceCelsius: 1 }), [
    { subSeconds: 60, temperatureCelsius: -10, serves: [2] },
    { subSeconds: 300, temperatureCelsius: -10, serves: [0, 1, 4] },
    { subSeconds: 300, temperatureCelsius: -5, serves: [3] },
  ])
  t.end()
})

void t.test('plans that leave the temperature open meet where they overlap', (t) => {
  const planned = [
    { subSeconds: 120, coldestCelsius: -20, warmestCelsius: -5 },
    { subSeconds: 120, coldestCelsius: -8, warmestCelsius: 0 },
    { subSeconds: 120, coldestCelsius: -7.4, warmestCelsius: 5 },
  ]
  t.same(smallestDarkLibrary({ planned, toleranceCelsius: 0 }), [
    { subSeconds: 120, temperatureCelsius: -6, serves: [0, 1, 2] },
  ])
  t.end()
})

void t.test('temperatures that just meet share a dark, whole degrees are preferred, zero is not negative', (t) => {
  t.same(smallestDarkLibrary({ planned: [at(60, -10.1), at(60, -9.9)], toleranceCelsius: 0.1 }), [
    { subSeconds: 60, temperatureCelsius: -10, serves: [0, 1] },
  ])
  t.same(smallestDarkLibrary({ planned: [at(60, 4.4)], toleranceCelsius: 0.2 }), [
    { subSeconds: 60, temperatureCelsius: 4.4, serves: [0] },
  ])
  const [zero] = smallestDarkLibrary({ planned: [at(60, -0.3)], toleranceCelsius: 0.5 })
  t.ok(Object.is(zero?.temperatureCelsius, 0))
  t.same(smallestDarkLibrary({ planned: [], toleranceCelsius: 1 }), [])
  t.end()
})

/** Fewest points that stab all intervals, by trying every set of warm ends. */
function fewestByEnumeration(intervals: readonly { from: number; to: number }[]): number {
  const ends = intervals.map(({ to }) => to)
  let fewest = ends.length
  for (let mask = 1; mask < 2 ** ends.length; mask++) {
    const chosen = ends.filter((_, index) => (mask >> index) % 2 === 1)
    const serves = intervals.every(({ from, to }) => chosen.some((point) => point >= from && point <= to))
    if (serves) fewest = Math.min(fewest, chosen.length)
  }
  return fewest
}

void t.test('every plan is served within the tolerance, each once, and no smaller library does', (t) => {
  const plan = fc.record({
    subSeconds: fc.constantFrom(60, 300),
    coldestCelsius: fc.integer({ min: -30, max: 20 }),
    width: fc.integer({ min: 0, max: 12 }),
  })
  fc.assert(
    fc.property(fc.array(plan, { maxLength: 8 }), fc.integer({ min: 0, max: 4 }), (plans, toleranceCelsius) => {
      const planned = plans.map(({ width, ...rest }) => ({ ...rest, warmestCelsius: rest.coldestCelsius + width }))
      const library = smallestDarkLibrary({ planned, toleranceCelsius })
      const isServed = planned.every((one, index) => {
        const dark = library.filter(({ serves }) => serves.includes(index))
        const celsius = dark[0]?.temperatureCelsius ?? NaN
        return (
          dark.length === 1 &&
          dark[0]?.subSeconds === one.subSeconds &&
          celsius >= one.coldestCelsius - toleranceCelsius &&
          celsius <= one.warmestCelsius + toleranceCelsius
        )
      })
      const fewest = [60, 300].map((subSeconds) =>
        fewestByEnumeration(
          planned
            .filter((one) => one.subSeconds === subSeconds)
            .map((one) => ({ from: one.coldestCelsius - toleranceCelsius, to: one.warmestCelsius + toleranceCelsius })),
        ),
      )
      return isServed && library.length === Number(fewest[0]) + Number(fewest[1])
    }),
    { numRuns: 500, seed: 11 },
  )
  t.end()
})

void t.test('what has no meaning is refused', (t) => {
  const refused = (planned: PlannedSubs[], toleranceCelsius: number, what: string) => {
    refuses(t, () => smallestDarkLibrary({ planned, toleranceCelsius }), 'out-of-range', what)
  }
  refused([], -1, 'tolerance')
  refused([at(0, 0)], 1, 'length')
  refused([at(60, -200)], 1, 'temperature')
  refused([{ subSeconds: 60, coldestCelsius: 0, warmestCelsius: -1 }], 1, 'colder than its coldest')
  t.end()
})

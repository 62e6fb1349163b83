import t from 'tap'
import { excursionCourse, hasLeft, hasLeftLastingly, type ExcursionModel } from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { columnsOf, subs, type Sub } from './subs.ts'

const MODEL: ExcursionModel = {
  best: 'highest',
  prior: { deviation: 0.03, weight: 10 },
  sharePerHour: 0.1,
  mostShare: 0.2,
  believedLevel: 1,
}

const courseOf = (list: Sub[], name: 'starFlux' | 'fwhm', model: ExcursionModel) => {
  const columns = columnsOf(list)
  return excursionCourse(columns.startSeconds, columns[name], model)
}

void t.test('by hand', (t) => {
  const list = subs(4, (i) => ({ starFlux: [1, 0.9, 0.6][i] ?? NaN, startSeconds: 0 }))
  const { level, now, lasting, best, scatter } = courseOf(list, 'starFlux', MODEL)
  t.same([...level], [1, 1, 1, NaN])
  t.equal(best, 1)
  near(t, now[2] ?? NaN, 0.4, 1e-12, 'now')
  t.equal(lasting[0], 0, 'the first')
  near(t, lasting[1] ?? NaN, 0.05, 1e-12, 'of two')
  near(t, lasting[2] ?? NaN, 0.1, 1e-12, 'of three')
  t.ok(Number.isNaN(now[3]))
  t.equal(scatter, 0.03, 'the prior')
  t.end()
})

void t.test('the other way', (t) => {
  const list = subs(3, (i) => ({ fwhm: [2, 3, 2.5][i] ?? NaN, startSeconds: 0 }))
  const course = courseOf(list, 'fwhm', { ...MODEL, best: 'lowest', believedLevel: null })
  t.same([...course.level], [2.5, 2.5, 2.5], 'the median of three')
  near(t, course.now[1] ?? NaN, 0.2, 1e-12, 'wider')
  near(t, course.now[0] ?? NaN, -0.2, 1e-12, 'narrower')
  t.end()
})

void t.test('leaves at once when far, else when it lasts', (t) => {
  const course = {
    values: [0, 0, 0, 0, 0],
    level: [0, 0, 0, 0, 0],
    now: [0.2, 0.15, 0.15, 0.05, NaN],
    lasting: [0, 0.1, 0.14, 0.14, NaN],
    best: 0,
    scatter: 0.03,
  }
  const left = [0, 1, 2, 3, 4].map((place) => hasLeft(course, place, 0.08))
  t.same(left, [true, false, true, false, false])
  t.equal(hasLeftLastingly(course, 2, { threshold: 0.08, deviations: 4.5 }), true)
  t.equal(hasLeftLastingly(course, 2, { threshold: 0.08, deviations: 5 }), false)
  const wild = { ...course, scatter: 0.2, now: [0.55, 0.65, 0.45], lasting: [0.2, 0.2, 0.42] }
  t.same(
    [0, 1, 2].map((place) => hasLeft(wild, place, 0.08)),
    [false, true, true],
    'six tenths at once and four that last, whatever the scatter',
  )
  t.end()
})

void t.test('no light at all has no level', (t) => {
  const course = courseOf(
    subs(9, () => ({ starFlux: 0 })),
    'starFlux',
    { ...MODEL, believedLevel: null },
  )
  t.same(
    [...course.now],
    Array.from({ length: 9 }, () => 0),
  )
  const none = courseOf(
    subs(3, () => ({ starFlux: NaN })),
    'starFlux',
    MODEL,
  )
  t.ok(none.now.every((now) => Number.isNaN(now)))
  t.end()
})

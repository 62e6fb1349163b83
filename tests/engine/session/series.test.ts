import t from 'tap'
import { measuredSeries, spreadOut } from '../../../src/engine/index.ts'
import { subs } from './subs.ts'

void t.test('a quantity of every sub is its own column', (t) => {
  const series = measuredSeries(
    subs(3, (i) => ({ starFlux: 1 - i / 4 })),
    ({ starFlux }) => starFlux,
  )
  t.same([...series.values], [1, 0.75, 0.5])
  t.same([...series.seconds], [0, 126, 252])
  t.equal(series.ofAll, series.values)
  t.equal(spreadOut(series.seconds, series), series.seconds)
  t.end()
})

void t.test('gaps are left out of the series, and stand in the columns of all subs', (t) => {
  const list = subs(5, (i) => ({ fwhm: i === 1 || i === 3 ? null : i }))
  const series = measuredSeries(list, ({ fwhm }) => fwhm)
  t.same([...series.values], [0, 2, 4])
  t.same([...series.seconds], [0, 252, 504])
  t.same([...series.ofAll], [0, NaN, 2, NaN, 4])
  t.same([...spreadOut(Float64Array.of(7, 8, 9), series)], [7, NaN, 8, NaN, 9])
  const none = measuredSeries(
    subs(2, () => ({ fwhm: null })),
    ({ fwhm }) => fwhm,
  )
  t.same([...none.values], [])
  t.same([...none.ofAll], [NaN, NaN])
  t.same([...measuredSeries([], ({ fwhm }) => fwhm).values], [])
  t.end()
})

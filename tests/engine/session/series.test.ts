import t from 'tap'
import { measuredSeries, spreadOut } from '../../../src/engine/index.ts'

const SECONDS = Float64Array.of(0, 126, 252, 378, 504)

void t.test('a quantity of every sub is its own column', (t) => {
  const starFlux = Float64Array.of(1, 0.75, 0.5, 0.25, 0)
  const series = measuredSeries(SECONDS, starFlux)
  t.equal(series.values, starFlux)
  t.equal(series.seconds, SECONDS)
  t.equal(series.ofAll, starFlux)
  t.equal(spreadOut(series.seconds, series), SECONDS)
  t.end()
})

void t.test('gaps are left out of the series, and stand in the columns of all subs', (t) => {
  const series = measuredSeries(SECONDS, Float64Array.of(0, NaN, 2, NaN, 4))
  t.same([...series.values], [0, 2, 4])
  t.same([...series.seconds], [0, 252, 504])
  t.same([...series.ofAll], [0, NaN, 2, NaN, 4])
  t.same([...spreadOut(Float64Array.of(7, 8, 9), series)], [7, NaN, 8, NaN, 9])
  const none = measuredSeries(SECONDS, new Float64Array(5).fill(NaN))
  t.same([...none.values], [])
  t.same([...none.seconds], [])
  t.same([...none.ofAll], [NaN, NaN, NaN, NaN, NaN])
  t.same([...measuredSeries(new Float64Array(0), new Float64Array(0)).values], [])
  t.end()
})

import t from 'tap'
import { lastPlaces, picked, SkyColumns } from '../../../src/engine/index.ts'

void t.test('columns begin at nothing, and are picked by the places of a filter', (t) => {
  const skies = new SkyColumns(4, Uint8Array.of(0, 1, 0, 0))
  t.same([...skies.rise], [0, 0, 0, 0])
  t.same([...skies.dimmed], [0, 1, 0, 0])
  skies.ratio.set([1, 1.5, 2, 2.5])
  skies.seconds.set([0, 60, 120, 180])
  const { seconds, values } = skies.ratiosAt([1, 3])
  t.same([...values], [1.5, 2.5])
  t.same([...seconds], [60, 180])
  t.same([...picked(skies.ratio, [2])], [2])
  t.same([...picked(skies.ratio, [])], [])
  t.end()
})

void t.test('a sky is measured once it is set', (t) => {
  const skies = new SkyColumns(2, new Uint8Array(2))
  skies.skyElectronsPerSecond[1] = 0
  t.same([skies.isMeasured(0), skies.isMeasured(1)], [false, true])
  t.end()
})

void t.test('the last places of some kind', (t) => {
  const isEven = (at: number) => at % 2 === 0
  t.same(lastPlaces([0, 2, 3, 4, 5, 8], 2, isEven), [4, 8])
  t.same(lastPlaces([0, 2, 3], 9, isEven), [0, 2], 'all there are')
  t.same(lastPlaces([], 2, isEven), [])
  t.end()
})

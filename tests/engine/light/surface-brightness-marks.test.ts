import t from 'tap'
import { emissionMeasure } from '../../../src/engine/light/emission-lines.ts'
import { LINE_BRIGHTNESS_MARKS, NEBULA_CLASSES } from '../../../src/engine/light/surface-brightness-marks.ts'
import { near } from '../../support/near.ts'

void t.test('Table NB-B marks run from fainter to brighter and each has its source', (t) => {
  for (const { fromRayleighs, toRayleighs, what, source } of LINE_BRIGHTNESS_MARKS) {
    t.ok(fromRayleighs > 0 && toRayleighs >= fromRayleighs, what)
    t.ok(source.length > 0, source)
  }
  t.end()
})

void t.test('Table NB-B 0.05 R is an emission measure of 0.1 pc cm-6 near 7000 K (catalogue description)', (t) => {
  const faintest = Math.min(...LINE_BRIGHTNESS_MARKS.map((mark) => mark.fromRayleighs))
  near(t, emissionMeasure({ line: 'h-alpha', rayleighs: faintest, temperatureKelvin: 7000 }), 0.1, 0.01, 'pc cm-6')
  t.end()
})

void t.test('the classes of nebulae fall from the bright core to the limit', (t) => {
  t.same(
    NEBULA_CLASSES.classes.map((row) => row.rayleighs),
    [3e5, 1000, 100, 10, 1],
  )
  t.end()
})

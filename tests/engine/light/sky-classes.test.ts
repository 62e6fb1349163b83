import fc from 'fast-check'
import t from 'tap'
import {
  magPerArcsec2OfSkyClass,
  MEASURED_APPEARANCES,
  SKY_CLASSES,
  skyClassOf,
} from '../../../src/engine/light/sky-classes.ts'
import { refuses } from '../../support/near.ts'

void t.test('one V value a class, common practice', (t) => {
  const expected = [21.99, 21.94, 21.79, 21.09, 20, 19.22, 18.66, 18.19, 17.5]
  t.same(
    expected.map((_, index) => magPerArcsec2OfSkyClass(index + 1)),
    expected,
  )
  t.end()
})

void t.test('the value of a class lies in its class', (t) => {
  for (const { skyClass, magPerArcsec2 } of SKY_CLASSES) t.equal(skyClassOf(magPerArcsec2), skyClass, `${skyClass}`)
  t.end()
})

void t.test('a class begins at the bright end of its range', (t) => {
  for (const { skyClass, fromMagPerArcsec2 } of SKY_CLASSES) {
    if (fromMagPerArcsec2 === null) continue
    t.equal(skyClassOf(fromMagPerArcsec2), skyClass, `${fromMagPerArcsec2}`)
    t.equal(skyClassOf(fromMagPerArcsec2 - 0.001), skyClass + 1, `just brighter than ${fromMagPerArcsec2}`)
  }
  t.equal(skyClassOf(25), 1, 'darker than any sky')
  t.equal(skyClassOf(5), 9, 'brighter than any town')
  t.end()
})

void t.test('Table NE-A ranges join without a gap; limits fall by half a magnitude a class (Bortle 2001)', (t) => {
  let darkest = 22
  let limit = 8.5
  for (const row of SKY_CLASSES) {
    t.equal(row.toMagPerArcsec2, darkest, `class ${row.skyClass} joins the darker one`)
    t.equal(row.toNakedEyeLimitMag, limit - 0.5, `limit of class ${row.skyClass}`)
    darkest = row.fromMagPerArcsec2 ?? 0
    limit = row.toNakedEyeLimitMag
  }
  t.end()
})

void t.test('a brighter sky never has a better class', (t) => {
  const sky = fc.double({ min: 15, max: 23, noNaN: true })
  fc.assert(
    fc.property(sky, sky, (a, b) => skyClassOf(Math.min(a, b)) >= skyClassOf(Math.max(a, b))),
    { numRuns: 200, seed: 104 },
  )
  t.pass('over 15 to 23 mag/arcsec²')
  t.end()
})

void t.test('there are nine classes and no more', (t) => {
  for (const skyClass of [0, 10, 4.5, NaN]) {
    refuses(t, () => magPerArcsec2OfSkyClass(skyClass), 'out-of-range', `class ${skyClass}`)
  }
  refuses(t, () => skyClassOf(31), 'out-of-range', 'no sky')
  t.end()
})

void t.test('measured appearances go from dark to bright (Berry 1976)', (t) => {
  t.same(
    MEASURED_APPEARANCES.steps.map((step) => step.magPerArcsec2),
    [21.7, 21.6, 21.1, 20.4, 19.5, 18.5],
  )
  t.end()
})

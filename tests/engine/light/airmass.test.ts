import fc from 'fast-check'
import t from 'tap'
import {
  kastenYoungAirmass,
  KRISCIUNAS_SCHAEFER_LAYER,
  layerAirmass,
  layerConstant,
  pickeringAirmass,
} from '../../../src/engine/light/airmass.ts'
import { near, refuses, within } from '../../support/near.ts'

// Three more published formulas, against which the two of the engine are held.
const cosine = (z: number): number => Math.cos((z * Math.PI) / 180)
const young1994 = (z: number): number => {
  const c = cosine(z)
  return (1.002432 * c ** 2 + 0.148386 * c + 0.0096467) / (c ** 3 + 0.149864 * c ** 2 + 0.0102963 * c + 0.000303978)
}
const hardie1962 = (z: number): number => {
  const s = 1 / cosine(z) - 1
  return s + 1 - 0.0018167 * s - 0.002875 * s ** 2 - 0.0008083 * s ** 3
}
const rozenberg1966 = (z: number): number => 1 / (cosine(z) + 0.025 * Math.exp(-11 * cosine(z)))

for (const { id, z, expected, absolute } of [
  { id: 'S-EX-01', z: 80, expected: 5.586, absolute: 1e-4 },
  { id: 'S-EX-01', z: 89.9, expected: 36.467, absolute: 5e-4 },
  { id: 'S-EX-02', z: 0, expected: 0.99971, absolute: 1e-5 },
  { id: 'S-EX-02', z: 60, expected: 1.99429, absolute: 1e-5 },
  { id: 'S-EX-02', z: 90, expected: 37.9196, absolute: 1e-4 },
  { id: 'S-EX-11', z: 30, expected: 1.15399, absolute: 1e-5 },
  { id: 'S-EX-11', z: 45, expected: 1.4126, absolute: 1e-5 },
  { id: 'S-EX-11', z: 70, expected: 2.90315, absolute: 1e-5 },
  { id: 'S-EX-11', z: 87, expected: 15.14774, absolute: 1e-5 },
]) {
  void t.test(`${id} airmass at zenith distance ${z}° (Kasten & Young 1989)`, (t) => {
    within(t, kastenYoungAirmass(z), expected, absolute, 'airmass')
    t.end()
  })
}

for (const { z, expected } of [
  { z: 80, expected: 5.5807 },
  { z: 89.9, expected: 37.064 },
]) {
  void t.test(`S-EX-03 airmass at zenith distance ${z}° (Pickering 2002)`, (t) => {
    near(t, pickeringAirmass(90 - z), expected, 1e-4, 'airmass')
    t.end()
  })
}

for (const { z, expected } of [
  { z: 60, expected: 1.9945 },
  { z: 80, expected: 5.59791 },
]) {
  void t.test(`S-EX-04 airmass at zenith distance ${z}° (Hardie 1962), and the engine's within 0.3 %`, (t) => {
    near(t, hardie1962(z), expected, 1e-5, 'Hardie')
    near(t, kastenYoungAirmass(z), hardie1962(z), 3e-3, 'Kasten & Young')
    near(t, pickeringAirmass(90 - z), hardie1962(z), 3.1e-3, 'Pickering')
    t.end()
  })
}

void t.test('S-EX-10 an altitude of 10° is nearly 6 airmasses by five formulas (Green 1992)', (t) => {
  const five = [kastenYoungAirmass(80), pickeringAirmass(10), young1994(80), hardie1962(80), rozenberg1966(80)]
  t.ok(Math.min(...five) >= 5.54, 'the least is 5.54')
  t.ok(Math.max(...five) <= 5.64, 'the most is 5.64')
  t.end()
})

void t.test('Table EX-A airmass by the two formulas of the engine, and three more (sources as named there)', (t) => {
  for (const [z, kastenYoung, pickering, young, rozenberg] of [
    [0, 0.9997, 1, 1, 1],
    [60, 1.9943, 1.9932, 1.9917, 1.9996],
    [75, 3.8129, 3.8082, 3.7964, 3.8422],
    [80, 5.586, 5.5807, 5.5407, 5.6386],
    [85, 10.3058, 10.3337, 10.0587, 10.3369],
    [88, 19.4332, 19.6427, 18.0629, 19.2568],
    [90, 37.9196, 38.7494, 31.7349, 40],
  ] as const) {
    within(t, kastenYoungAirmass(z), kastenYoung, 5.1e-5, `Kasten & Young at ${z}°`)
    within(t, pickeringAirmass(90 - z), pickering, 5.1e-5, `Pickering at ${z}°`)
    within(t, young1994(z), young, 5.1e-5, `Young at ${z}°`)
    within(t, rozenberg1966(z), rozenberg, 5.1e-5, `Rozenberg at ${z}°`)
  }
  t.end()
})

for (const { z, expected } of [
  { z: 0, expected: 1 },
  { z: 30, expected: 1.14708 },
  { z: 60, expected: 1.88982 },
  { z: 75, expected: 3.09629 },
  { z: 90, expected: 5 },
]) {
  void t.test(`S-MO-01 path through the thin layer at ${z}° (Krisciunas & Schaefer 1991)`, (t) => {
    const airmass = layerAirmass({ zenithDistanceDegrees: z, layer: KRISCIUNAS_SCHAEFER_LAYER })
    near(t, airmass, expected, 1e-5, 'airmass')
    t.end()
  })
}

void t.test('S-MO-09 a layer at 130 km gives the 0.96 (Krisciunas & Schaefer 1991)', (t) => {
  near(t, layerConstant({ heightKm: 130, earthRadiusKm: 6378 }), 0.9604, 1e-4, 'constant')
  t.end()
})

void t.test('S-MO-17 a layer at 90 km (computed)', (t) => {
  const layer = layerConstant({ heightKm: 90, earthRadiusKm: 6378 })
  near(t, layer, 0.9724, 1e-4, 'constant')
  near(t, layerAirmass({ zenithDistanceDegrees: 70, layer }), 2.6595, 1e-4, 'airmass at 70°')
  t.end()
})

void t.test('airmass grows from the zenith to the horizon', (t) => {
  // Both fits turn within 0.1° of the zenith, by 2e-7.
  const angle = fc.double({ min: 0.1, max: 90, noNaN: true })
  fc.assert(
    fc.property(angle, angle, (a, b) => {
      const [near, far] = [Math.min(a, b), Math.max(a, b)]
      const layer = KRISCIUNAS_SCHAEFER_LAYER
      return (
        kastenYoungAirmass(far) >= kastenYoungAirmass(near) &&
        pickeringAirmass(90 - far) >= pickeringAirmass(90 - near) &&
        layerAirmass({ zenithDistanceDegrees: far, layer }) >= layerAirmass({ zenithDistanceDegrees: near, layer })
      )
    }),
    { numRuns: 300, seed: 105 },
  )
  t.pass('by all three formulas')
  t.end()
})

void t.test('there is no airmass below the horizon', (t) => {
  refuses(t, () => kastenYoungAirmass(90.1), 'out-of-range', 'Kasten & Young')
  refuses(t, () => pickeringAirmass(-0.1), 'out-of-range', 'Pickering')
  refuses(t, () => layerAirmass({ zenithDistanceDegrees: 91, layer: 0.96 }), 'out-of-range', 'layer')
  refuses(t, () => layerAirmass({ zenithDistanceDegrees: 90, layer: 1 }), 'out-of-range', 'a layer on the ground')
  refuses(t, () => layerConstant({ heightKm: 0, earthRadiusKm: 6378 }), 'out-of-range', 'no height')
  refuses(t, () => layerConstant({ heightKm: 90, earthRadiusKm: 1 }), 'out-of-range', 'no Earth')
  t.end()
})

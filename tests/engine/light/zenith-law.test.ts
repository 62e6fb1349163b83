import fc from 'fast-check'
import t from 'tap'
import { layerAirmass } from '../../../src/engine/light/airmass.ts'
import { zenithDistanceMag } from '../../../src/engine/light/zenith-law.ts'
import { refuses, within } from '../../support/near.ts'

const law = (zenithDistanceDegrees: number, extinctionMagPerAirmass: number): number =>
  zenithDistanceMag({
    airglowShare: 0.6,
    extinctionMagPerAirmass,
    airmass: layerAirmass({ zenithDistanceDegrees, layer: 0.96 }),
  })

void t.test('S-MO-10 brightening at 50° in five bands (Patat 2003, Table C.1)', (t) => {
  within(t, layerAirmass({ zenithDistanceDegrees: 50, layer: 0.96 }), 1.51, 0.005, 'airmass')
  for (const [band, extinction, computed, published] of [
    ['U', 0.43, 0.071, 0.07],
    ['B', 0.22, 0.179, 0.18],
    ['V', 0.11, 0.235, 0.24],
    ['R', 0.07, 0.256, 0.26],
    ['I', 0.05, 0.266, 0.27],
  ] as const) {
    within(t, -law(50, extinction), computed, 0.0006, `${band} computed`)
    within(t, -law(50, extinction), published, 0.006, `${band} published`)
  }
  t.end()
})

void t.test('S-MO-11 brightening at 30° in V (Patat 2003, Table C.1: 0.08)', (t) => {
  within(t, -law(30, 0.11), 0.076, 0.0006, 'computed')
  within(t, -law(30, 0.11), 0.08, 0.006, 'published')
  t.end()
})

void t.test('S-MO-12 sec Z of 1.5 with 145 of 220 S10 from airglow (Benn & Ellison 1998: 0.25 brighter)', (t) => {
  const airmass = layerAirmass({ zenithDistanceDegrees: (Math.acos(1 / 1.5) * 180) / Math.PI, layer: 0.96 })
  const change = zenithDistanceMag({ airglowShare: 145 / 220, extinctionMagPerAirmass: 0.11, airmass })
  within(t, change, -0.239, 0.001, 'mag')
  t.end()
})

void t.test('nothing changes at the zenith, and a sky without airglow only dims', (t) => {
  fc.assert(
    fc.property(
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.double({ min: 0, max: 5, noNaN: true }),
      fc.double({ min: 1, max: 40, noNaN: true }),
      (airglowShare, extinctionMagPerAirmass, airmass) => {
        const atZenith = zenithDistanceMag({ airglowShare, extinctionMagPerAirmass, airmass: 1 })
        const withoutAirglow = zenithDistanceMag({ airglowShare: 0, extinctionMagPerAirmass, airmass })
        return Math.abs(atZenith) === 0 && Math.abs(withoutAirglow - extinctionMagPerAirmass * (airmass - 1)) < 1e-12
      },
    ),
    { numRuns: 200, seed: 106 },
  )
  t.pass('for any share and extinction')
  t.end()
})

void t.test('shares, extinctions and airmasses out of range are refused', (t) => {
  const good = { airglowShare: 0.6, extinctionMagPerAirmass: 0.2, airmass: 1.5 }
  refuses(t, () => zenithDistanceMag({ ...good, airglowShare: 1.1 }), 'out-of-range', 'share')
  refuses(t, () => zenithDistanceMag({ ...good, extinctionMagPerAirmass: -0.1 }), 'out-of-range', 'extinction')
  refuses(t, () => zenithDistanceMag({ ...good, airmass: 0.9 }), 'out-of-range', 'airmass')
  t.end()
})

import t from 'tap'
import { kastenYoungAirmass } from '../../../src/engine/light/airmass.ts'
import {
  rayleighExtinction,
  SEA_LEVEL_EXTINCTION_MAG_PER_AIRMASS,
  SITE_EXTINCTION,
  transmittance,
  visualExtinction,
} from '../../../src/engine/light/extinction.ts'
import { near, refuses, within } from '../../support/near.ts'

void t.test('S-EX-05 transmission of two airmasses at 0.20 (computed)', (t) => {
  near(t, transmittance({ extinctionMagPerAirmass: 0.2, airmass: 2 }), 0.69183, 1e-5, 'share')
  t.equal(transmittance({ extinctionMagPerAirmass: 0, airmass: 40 }), 1, 'without extinction all comes through')
  t.end()
})

void t.test('S-EX-06, S-EX-12 visual extinction by height (Green 1992)', (t) => {
  for (const [heightKm, expected] of [
    [0, 0.2811],
    [0.5, 0.2383],
    [1, 0.2057],
    [2, 0.1606],
    [3, 0.1319],
  ] as const) {
    const { rayleigh, aerosol, ozone, total } = visualExtinction(heightKm)
    within(t, total, expected, 1e-4, `${heightKm} km`)
    near(t, rayleigh + aerosol + ozone, total, 1e-12, 'the parts make the whole')
  }
  t.equal(SEA_LEVEL_EXTINCTION_MAG_PER_AIRMASS, visualExtinction(0).total)
  t.end()
})

void t.test('S-EX-07 the two Rayleigh laws agree at 510 nm (Hayes & Latham 1975; Green 1992: 0.1451)', (t) => {
  near(t, rayleighExtinction({ wavelengthNm: 510, heightKm: 0 }), 0.1451, 1e-4, 'mag')
  near(t, visualExtinction(0).rayleigh, 0.1451, 1e-12, 'Green')
  t.end()
})

void t.test('S-EX-08 Rayleigh extinction at 550 and 656.3 nm (Hayes & Latham 1975)', (t) => {
  near(t, rayleighExtinction({ wavelengthNm: 550, heightKm: 0 }), 0.1066, 1e-4, '550 nm')
  near(t, rayleighExtinction({ wavelengthNm: 656.3, heightKm: 0 }), 0.05198, 1e-4, '656.3 nm')
  const ratio =
    rayleighExtinction({ wavelengthNm: 550, heightKm: 7.996 }) / rayleighExtinction({ wavelengthNm: 550, heightKm: 0 })
  near(t, ratio, Math.exp(-1), 1e-12, 'one scale height up')
  t.end()
})

void t.test('S-EX-09 a star at 60° from the zenith of Kitt Peak, 5500 Å (site table; Kasten & Young 1989)', (t) => {
  const site = SITE_EXTINCTION.sites.find((row) => row.site === 'Kitt Peak')
  const visual = site?.magPerAirmass[SITE_EXTINCTION.wavelengthsAngstrom.indexOf(5500)]
  near(t, Number(visual) * kastenYoungAirmass(60), 0.2991, 1e-3, 'mag')
  t.end()
})

void t.test('Table EX-B colour of extinction at six sites, as stated with it', (t) => {
  for (const { site, magPerAirmass } of SITE_EXTINCTION.sites) {
    const [, blue, , , visual, red] = magPerAirmass
    t.ok(blue / visual >= 1.745 && blue / visual <= 1.955, `${site}: 4400 Å is 1.75 to 1.95 of 5500 Å`)
    t.ok(red / visual >= 0.525 && red / visual <= 0.665, `${site}: 6563 Å is 0.53 to 0.66 of 5500 Å`)
  }
  t.end()
})

void t.test('what no air has is refused', (t) => {
  refuses(t, () => transmittance({ extinctionMagPerAirmass: -0.1, airmass: 1 }), 'out-of-range', 'extinction')
  refuses(t, () => transmittance({ extinctionMagPerAirmass: 0.1, airmass: 41 }), 'out-of-range', 'airmass')
  refuses(t, () => visualExtinction(10), 'out-of-range', 'above the highest mountain')
  refuses(t, () => rayleighExtinction({ wavelengthNm: 200, heightKm: 0 }), 'out-of-range', 'wavelength')
  refuses(t, () => rayleighExtinction({ wavelengthNm: 550, heightKm: -1 }), 'out-of-range', 'height')
  t.end()
})

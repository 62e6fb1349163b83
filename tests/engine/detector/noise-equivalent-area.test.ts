import t from 'tap'
import { noiseEquivalentAreaPx, squaredPixelShares } from '../../../src/engine/detector/noise-equivalent-area.ts'
import type { Profile } from '../../../src/engine/detector/point-spread.ts'
import { near, within } from '../../support/near.ts'

const GAUSSIAN: Profile = { kind: 'gaussian' }
const moffat = (beta: number): Profile => ({ kind: 'moffat', beta })

void t.test('D-PSF-10 noise-equivalent area (Mighell 2003: 4π = 12.57 px at critical sampling; rest computed)', (t) => {
  const sigma1 = 2 * Math.sqrt(2 * Math.LN2)
  near(t, noiseEquivalentAreaPx({ profile: GAUSSIAN, fwhmPx: sigma1 }), 4 * Math.PI, 1e-12, 'σ 1 px')
  within(t, noiseEquivalentAreaPx({ profile: GAUSSIAN, fwhmPx: 1 }), 2.26618, 5e-7, 'Gaussian, per F²')
  within(t, noiseEquivalentAreaPx({ profile: moffat(4), fwhmPx: 1 }), 3.22855, 5e-6, 'Moffat 4, per F²')
  within(t, noiseEquivalentAreaPx({ profile: moffat(2.5), fwhmPx: 1 }), 4.37004, 5e-6, 'Moffat 2.5, per F²')
  near(t, noiseEquivalentAreaPx({ profile: moffat(4), fwhmPx: 3 }) / 9, 3.22855, 2e-6, 'grows with F²')
  t.end()
})

void t.test('D-PSF-11 noise-equivalent area of a sampled Gaussian (computed)', (t) => {
  const area = (fwhmPx: number) => 1 / squaredPixelShares({ profile: GAUSSIAN, fwhmPx })
  within(t, area(2), 10.116, 5e-4, 'F 2 px')
  within(t, area(3), 21.451, 5e-4, 'F 3 px')
  within(t, area(4), 37.311, 5e-4, 'F 4 px')
  t.end()
})

void t.test('squared shares against a direct sum over pixels (scipy 1.10.1)', (t) => {
  const rows = [
    { profile: GAUSSIAN, fwhmPx: 0.3, sum: 0.9996527013366826, relative: 1e-9 },
    { profile: GAUSSIAN, fwhmPx: 1, sum: 0.3691075935090526, relative: 1e-9 },
    { profile: GAUSSIAN, fwhmPx: 2, sum: 0.09885042349280075, relative: 1e-9 },
    { profile: GAUSSIAN, fwhmPx: 5, sum: 0.017329648544953166, relative: 1e-5 },
    { profile: GAUSSIAN, fwhmPx: 8, sum: 0.006845383569408165, relative: 1e-6 },
    { profile: GAUSSIAN, fwhmPx: 20, sum: 0.0011019048099208428, relative: 1e-8 },
    { profile: moffat(2.5), fwhmPx: 1, sum: 0.19603199149564277, relative: 1e-5 },
    { profile: moffat(4), fwhmPx: 2, sum: 0.07073036558296122, relative: 1e-5 },
    { profile: moffat(1.5), fwhmPx: 3, sum: 0.010064824155387713, relative: 1e-5 },
    { profile: moffat(2.5), fwhmPx: 4, sum: 0.013992247332046369, relative: 1e-5 },
    { profile: moffat(1.5), fwhmPx: 6, sum: 0.0025759374091829383, relative: 1e-5 },
    { profile: moffat(4), fwhmPx: 6, sum: 0.008511001745941752, relative: 1e-5 },
  ]
  for (const { profile, fwhmPx, sum, relative } of rows) {
    near(t, squaredPixelShares({ profile, fwhmPx }), sum, relative, `${profile.kind} of ${fwhmPx} px`)
  }
  t.end()
})

void t.test('a star much narrower than a pixel has all of its light in one', (t) => {
  near(t, squaredPixelShares({ profile: GAUSSIAN, fwhmPx: 0.01 }), 1, 1e-10, 'Gaussian')
  t.end()
})

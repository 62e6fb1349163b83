import t from 'tap'
import { binnedReadout } from '../../../src/engine/detector/binning.ts'
import { noiseBudget, subNoiseTerms } from '../../../src/engine/exposure/noise.ts'
import { near } from '../../support/near.ts'

const PIXEL = { readNoiseElectrons: 5, quantizationElectrons2: 0.75, usableWell: { electrons: 20000 } }

void t.test('charge summed on the chip is read once, into the well of one pixel', (t) => {
  t.same(binnedReadout({ ...PIXEL, binning: 3, binningKind: 'on-chip' }), {
    readout: { readNoiseElectrons: 5, quantizationElectrons2: 0.75 },
    usableWellElectrons: 20000,
  })
  t.end()
})

void t.test('numbers summed afterwards carry every read, every rounding and every well', (t) => {
  t.same(binnedReadout({ ...PIXEL, binning: 3, binningKind: 'software' }), {
    readout: { readNoiseElectrons: 15, quantizationElectrons2: 6.75 },
    usableWellElectrons: 180000,
  })
  t.end()
})

void t.test('unbinned frames are as they come, and an unknown well stays unknown', (t) => {
  for (const binningKind of ['on-chip', 'software'] as const) {
    t.same(binnedReadout({ ...PIXEL, usableWell: null, binning: 1, binningKind }), {
      readout: { readNoiseElectrons: 5, quantizationElectrons2: 0.75 },
      usableWellElectrons: null,
    })
  }
  t.end()
})

/** Ratio of one pixel of a 2 × 2 binned frame: target S, sky B and read noise R of each physical pixel. */
function binnedSnr(binningKind: 'on-chip' | 'software' | 'none', it: { S: number; B: number; R: number }): number {
  const binning = binningKind === 'none' ? 1 : 2
  const { readout } = binnedReadout({
    binning,
    binningKind: binningKind === 'none' ? 'software' : binningKind,
    readNoiseElectrons: it.R,
    quantizationElectrons2: 0,
    usableWell: null,
  })
  const rates = {
    targetElectronsPerPixelSecond: it.S * binning ** 2,
    skyElectronsPerPixelSecond: it.B * binning ** 2,
    darkElectronsPerPixelSecond: 0,
  }
  return noiseBudget(rates.targetElectronsPerPixelSecond, subNoiseTerms({ rates, readout, subSeconds: 1 })).snr
}

void t.test('D-ADC-07 gain of 2 × 2 binning in the pure limits (computed)', (t) => {
  // Signals 1e-18 of the read noise, and no read noise at all.
  const read = { S: 1e-18, B: 0, R: 1 }
  const photons = { S: 4, B: 6, R: 0 }
  near(t, binnedSnr('software', read) / binnedSnr('none', read), 2, 1e-15, 'read noise, software')
  near(t, binnedSnr('on-chip', read) / binnedSnr('none', read), 4, 1e-15, 'read noise, on chip')
  near(t, binnedSnr('software', photons) / binnedSnr('none', photons), 2, 1e-15, 'photons, software')
  near(t, binnedSnr('on-chip', photons) / binnedSnr('none', photons), 2, 1e-15, 'photons, on chip')
  t.end()
})

void t.test('D-ADC-08 2 × 2 binning, mixed (computed)', (t) => {
  const mixed = { S: 4, B: 6, R: 5 }
  near(t, binnedSnr('none', mixed), 0.676123, 1e-6, 'unbinned')
  near(t, binnedSnr('software', mixed), 1.35225, 3e-6, 'software')
  near(t, binnedSnr('on-chip', mixed), 1.98456, 2.5e-6, 'on chip')
  t.end()
})

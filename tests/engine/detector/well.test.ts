import t from 'tap'
import { quantizationVariance, usableWellElectrons, wellDynamicRange } from '../../../src/engine/detector/well.ts'
import { near, refuses, within } from '../../support/near.ts'

void t.test(
  'D-ADC-01 a converter that spans the full well (Roy & Clarke, 4th ed., p. 303: about 8 electrons per ADU)',
  (t) => {
    const electronsPerAdu = 5e5 / 2 ** 16
    within(t, electronsPerAdu, 7.6294, 5e-5, 'electrons per ADU')
    const well = usableWellElectrons({ fullWellElectrons: 5e5, bitDepth: 16, offsetAdu: 0, electronsPerAdu })
    t.same(well, { electrons: 65535 * electronsPerAdu, setBy: 'adc' }, 'one ADU short of the full well')
    t.end()
  },
)

void t.test('D-ADC-02 dynamic range of 50000 electrons over 3.5 (computed)', (t) => {
  const range = wellDynamicRange({ wellElectrons: 50000, readNoiseElectrons: 3.5 })
  within(t, range.ratio, 14285.7, 0.05, 'ratio')
  within(t, range.decibels, 83.098, 5e-5, 'decibels')
  within(t, range.stops, 13.8023, 5e-5, 'stops')
  t.end()
})

void t.test('D-ADC-04 decibels per stop (computed)', (t) => {
  const stop = wellDynamicRange({ wellElectrons: 2, readNoiseElectrons: 1 })
  within(t, stop.decibels, 6.0206, 5e-7, 'decibels')
  t.equal(stop.stops, 1)
  t.end()
})

void t.test('D-ADC-05 rounding beside read noise (computed)', (t) => {
  const variance = quantizationVariance(3.1)
  within(t, Math.sqrt(variance), 0.89489, 5e-6, 'rounding, electrons')
  within(t, Math.sqrt(1.5 ** 2 + variance), 1.7467, 5e-5, 'together, electrons')
  t.end()
})

void t.test('D-ADC-06 bits for an ADU of one read-noise sigma (computed)', (t) => {
  const { stops } = wellDynamicRange({ wellElectrons: 63000, readNoiseElectrons: 1.8 })
  within(t, stops, 15.095, 5e-4, 'stops')
  t.equal(Math.ceil(stops), 16)
  t.end()
})

void t.test('the least bound wins', (t) => {
  const camera = {
    fullWellElectrons: 50000,
    bitDepth: 14,
    offsetAdu: 383,
    electronsPerAdu: 2,
    linearLimitElectrons: 31000,
  }
  t.same(usableWellElectrons(camera), { electrons: 31000, setBy: 'linearity' })
  const unmeasured = { ...camera, linearLimitElectrons: undefined }
  t.same(usableWellElectrons(unmeasured), { electrons: (16383 - 383) * 2, setBy: 'adc' })
  t.same(usableWellElectrons({ ...unmeasured, fullWellElectrons: 20000 }), { electrons: 20000, setBy: 'full-well' })
  t.end()
})

void t.test('of equal bounds the full well is named', (t) => {
  t.same(
    usableWellElectrons({
      fullWellElectrons: 3,
      bitDepth: 2,
      offsetAdu: 0,
      electronsPerAdu: 1,
      linearLimitElectrons: 3,
    }),
    {
      electrons: 3,
      setBy: 'full-well',
    },
  )
  t.end()
})

void t.test('no offset counts as none', (t) => {
  t.same(usableWellElectrons({ bitDepth: 12, electronsPerAdu: 1.5 }), { electrons: 4095 * 1.5, setBy: 'adc' })
  t.end()
})

void t.test('null when too little is known', (t) => {
  t.equal(usableWellElectrons({}), null)
  t.equal(usableWellElectrons({ bitDepth: 16, offsetAdu: 100 }), null, 'bits without electrons per ADU')
  t.equal(usableWellElectrons({ offsetAdu: 0, electronsPerAdu: 1 }), null, 'electrons per ADU without bits')
  t.equal(usableWellElectrons({ offsetAdu: 0, fullWellElectrons: undefined, bitDepth: undefined }), null)
  t.end()
})

void t.test('refuses cameras that cannot be', (t) => {
  refuses(t, () => usableWellElectrons({ offsetAdu: 0, fullWellElectrons: 0 }), 'out-of-range', 'no well')
  refuses(t, () => usableWellElectrons({ offsetAdu: 0, linearLimitElectrons: -1 }), 'out-of-range', 'negative limit')
  refuses(t, () => usableWellElectrons({ offsetAdu: 0, electronsPerAdu: 0 }), 'out-of-range', 'no gain')
  refuses(
    t,
    () => usableWellElectrons({ offsetAdu: 0, bitDepth: 33, electronsPerAdu: 1 }),
    'out-of-range',
    'too many bits',
  )
  refuses(t, () => usableWellElectrons({ offsetAdu: -1 }), 'out-of-range', 'negative offset')
  refuses(
    t,
    () => usableWellElectrons({ bitDepth: 8, offsetAdu: 255, electronsPerAdu: 1 }),
    'out-of-range',
    'offset takes all of it',
  )
  t.throws(() => usableWellElectrons({ bitDepth: 8, offsetAdu: 300, electronsPerAdu: 1 }), /An offset of 300 ADU/)
  refuses(t, () => quantizationVariance(0), 'out-of-range', 'no gain')
  refuses(t, () => wellDynamicRange({ wellElectrons: 0, readNoiseElectrons: 1 }), 'out-of-range', 'no well')
  refuses(t, () => wellDynamicRange({ wellElectrons: 1, readNoiseElectrons: 0 }), 'out-of-range', 'no read noise')
  t.end()
})

void t.test('rounding to whole ADU', (t) => {
  near(t, quantizationVariance(6), 3, 1e-15, 'K²/12')
  t.end()
})

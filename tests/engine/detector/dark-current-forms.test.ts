import t from 'tap'
import {
  activatedRatio,
  arrheniusDoublingCelsius,
  BAND_GAP_SETS,
  darkCurrentFromDensity,
  depletionActivationEnergyElectronVolts,
  depletionDoublingCelsius,
  depletionRatio,
  diffusionDoublingCelsius,
  diffusionRatio,
  doublingRatio,
  equivalentActivationEnergyElectronVolts,
  sensorKelvin,
  siliconBandGapElectronVolts,
} from '../../../src/engine/detector/dark-current-forms.ts'
import { near, refuses, within } from '../../support/near.ts'

const BOLTZMANN = 8.617333262e-5
const KELVIN_300 = 26.85

void t.test('D-DC-01 band gap, set A, at 300 K (Varshni 1967; Rajkanan et al. 1979; public issue thread)', (t) => {
  near(t, siliconBandGapElectronVolts(300), 1.1108214488636363, 1e-12, 'eV')
  t.end()
})

void t.test('D-DC-02 band gap, set A (computed)', (t) => {
  within(t, siliconBandGapElectronVolts(298.15), 1.111315, 5e-7, '25 °C')
  within(t, siliconBandGapElectronVolts(273.15), 1.117772, 5e-7, '0 °C')
  within(t, siliconBandGapElectronVolts(253.15), 1.122644, 5e-7, '-20 °C')
  t.end()
})

void t.test('D-DC-03 band gap at 300 K, sets B and C (computed; constants from textbooks)', (t) => {
  within(t, siliconBandGapElectronVolts(300, 'B'), 1.124519, 5e-7, 'B')
  within(t, siliconBandGapElectronVolts(300, 'C'), 1.122822, 5e-7, 'C')
  t.equal(siliconBandGapElectronVolts(0, 'B'), 1.17)
  for (const { source } of Object.values(BAND_GAP_SETS)) t.match(source, /./)
  refuses(t, () => siliconBandGapElectronVolts(-1), 'out-of-range', 'below absolute zero')
  t.end()
})

void t.test('D-DC-04 origin of the printed constant 2.55741439581387e15 (Janesick 2001, as coded)', (t) => {
  const constant = (charge: number, boltzmann: number) =>
    1e-9 / (charge * 300 ** 1.5 * Math.exp(-siliconBandGapElectronVolts(300) / (2 * boltzmann * 300)))
  near(t, constant(1.6e-19, 8.62e-5), 2.55741439581387e15, 1e-9, 'with rounded charge and Boltzmann constant')
  near(t, constant(1.602176634e-19, BOLTZMANN), 2.57097e15, 1e-5, 'with CODATA values')
  // With the printed constant 1 nA/cm² of a 1 cm² pixel at 300 K is the charge of it, as the normalised form has it.
  const printed = 2.55741439581387e15 * 300 ** 1.5 * Math.exp(-siliconBandGapElectronVolts(300) / (2 * 8.62e-5 * 300))
  near(t, printed, darkCurrentFromDensity({ picoamperesPerCm2: 1000, pixelSizeUm: 1000 }) * 100, 2e-3, 'per second')
  t.end()
})

void t.test('D-DC-05 density to electrons at 300 K (computed)', (t) => {
  near(t, darkCurrentFromDensity({ picoamperesPerCm2: 10, pixelSizeUm: 3.76 }), 8.824, 1e-5, '10 pA/cm², 3.76 µm')
  t.equal(darkCurrentFromDensity({ picoamperesPerCm2: 0, pixelSizeUm: 5 }), 0)
  refuses(t, () => darkCurrentFromDensity({ picoamperesPerCm2: -1, pixelSizeUm: 5 }), 'out-of-range', 'density')
  refuses(t, () => darkCurrentFromDensity({ picoamperesPerCm2: 1, pixelSizeUm: 0 }), 'out-of-range', 'pixel')
  t.end()
})

void t.test('D-DC-06 depletion form, ratio to 300 K (computed; form after Janesick 2001, from memory)', (t) => {
  const expected = { '25': 0.85882, '0': 0.090706, '-10': 0.032948, '-20': 0.01109 }
  for (const [celsius, ratio] of Object.entries(expected)) {
    const temperatureCelsius = Number(celsius)
    const pair = { temperatureCelsius, referenceCelsius: KELVIN_300 }
    near(t, depletionRatio(pair), ratio, 5e-5, `${celsius} °C`)
    near(t, diffusionRatio(pair), ratio ** 2, 1e-4, `${celsius} °C, diffusion: the square`)
  }
  t.equal(depletionRatio({ temperatureCelsius: -7, referenceCelsius: -7 }), 1)
  t.end()
})

void t.test(
  'D-DC-07 and D-DC-08 local doubling of the depletion form and, half of it, of diffusion (computed)',
  (t) => {
    for (const [celsius, depletion, diffusion] of [
      [25, 8.3765, 4.1883],
      [0, 7.0923, 3.5461],
      [-20, 6.1341, 3.0671],
    ] as const) {
      within(t, depletionDoublingCelsius(celsius), depletion, 6e-5, `${celsius} °C, depletion`)
      within(t, diffusionDoublingCelsius(celsius), diffusion, 6e-5, `${celsius} °C, diffusion`)
      const step = 1e-3
      const slope = Math.log(depletionRatio({ temperatureCelsius: celsius + step, referenceCelsius: celsius - step }))
      near(t, depletionDoublingCelsius(celsius), (Math.LN2 * 2 * step) / slope, 1e-7, 'numerical derivative')
    }
    t.end()
  },
)

void t.test("D-DC-09 Arrhenius' doubling temperature at 0 °C (computed)", (t) => {
  const at = (activationEnergyElectronVolts: number) =>
    arrheniusDoublingCelsius({ activationEnergyElectronVolts, temperatureCelsius: 0 })
  within(t, at(0.56), 7.9582, 5e-5, '0.56 eV')
  within(t, at(1.12), 3.9791, 5e-5, '1.12 eV')
  refuses(t, () => at(0.001), 'out-of-range', 'no energy')
  t.end()
})

void t.test('D-DC-10 0.633 eV measured on irradiated CCDs, 21 to 10 °C (published 2.6; radiation-test report)', (t) => {
  const pair = { temperatureCelsius: 21, referenceCelsius: 10 }
  const arrhenius = activatedRatio({ ...pair, activationEnergyElectronVolts: 0.633, temperaturePower: 0 })
  within(t, arrhenius, 2.6383, 5e-5, 'Arrhenius')
  within(t, depletionRatio(pair), 2.6333, 5e-5, 'depletion form')
  within(t, arrhenius, 2.6, 0.05, 'as published, to its rounding')
  t.end()
})

void t.test('D-DC-11 apparent activation energy of the depletion form (computed)', (t) => {
  within(t, depletionActivationEnergyElectronVolts(25), 0.63388, 5e-6, '25 °C')
  within(t, depletionActivationEnergyElectronVolts(0), 0.62837, 5e-6, '0 °C')
  within(t, depletionActivationEnergyElectronVolts(-20), 0.62403, 5e-6, '-20 °C')
  t.end()
})

void t.test('D-DC-12 CCD data-sheet curve 122 T³ exp(-6400/T), from 293 K (data sheet)', (t) => {
  const activationEnergyElectronVolts = 6400 * BOLTZMANN
  const curve = (kelvin: number) => 122 * kelvin ** 3 * Math.exp(-6400 / kelvin)
  const at = (temperatureCelsius: number) =>
    curve(293) *
    activatedRatio({ temperatureCelsius, referenceCelsius: 19.85, activationEnergyElectronVolts, temperaturePower: 3 })
  within(t, at(19.85), 1.0015, 5e-5, '293 K')
  within(t, at(0), 0.16592, 5e-6, '273.15 K')
  within(t, at(-20), 0.020744, 5e-7, '253.15 K')
  // k T² d ln D/dT of the curve is 3 k T + 6400 k.
  const apparent = 3 * BOLTZMANN * 273.15 + activationEnergyElectronVolts
  const doubling = arrheniusDoublingCelsius({ activationEnergyElectronVolts: apparent, temperatureCelsius: 0 })
  within(t, doubling, 7.1635, 5e-5, 'local doubling at 0 °C')
  t.end()
})

void t.test('D-DC-13 EMVA doubling law, reference 30 °C, step 8 °C, at 22 °C (EMVA reference model)', (t) => {
  t.equal(doublingRatio({ temperatureCelsius: 22, referenceCelsius: 30, doublingCelsius: 8 }), 0.5)
  t.equal(doublingRatio({ temperatureCelsius: 38, referenceCelsius: 30, doublingCelsius: 8 }), 2)
  refuses(
    t,
    () => doublingRatio({ temperatureCelsius: 22, referenceCelsius: 30, doublingCelsius: 0 }),
    'out-of-range',
    'step',
  )
  t.end()
})

void t.test('D-DC-14 5.7 K at 60 °C (CCD data sheet) is the full gap: 1.1631 eV', (t) => {
  const energy = equivalentActivationEnergyElectronVolts({ doublingCelsius: 5.7, temperatureCelsius: 60 })
  within(t, energy, 1.1631, 5e-5, 'eV')
  const back = arrheniusDoublingCelsius({ activationEnergyElectronVolts: energy, temperatureCelsius: 60 })
  near(t, back, 5.7, 1e-14, 'and back')
  refuses(
    t,
    () => equivalentActivationEnergyElectronVolts({ doublingCelsius: 0.5, temperatureCelsius: 60 }),
    'out-of-range',
    'step',
  )
  t.end()
})

void t.test(
  'D-DC-17 published rules of thumb lie in the range of the depletion form (notes, guides, data sheets)',
  (t) => {
    for (const celsius of [-20, -10, 0, 10, 20]) {
      const step = depletionDoublingCelsius(celsius)
      t.ok(step > 5 && step < 8.2, `${celsius} °C: ${step}`)
    }
    t.ok(depletionDoublingCelsius(-20) > 6 && depletionDoublingCelsius(-20) < 7, 'EMVA guide: 6 to 7 °C')
    within(t, diffusionDoublingCelsius(60), 5.7, 0.6, 'data sheet: 5.7 °C at 60 °C, where diffusion rules')
    t.end()
  },
)

void t.test('temperatures outside -150 to 100 °C are refused and named', (t) => {
  t.equal(sensorKelvin('x', -150), 123.14999999999998)
  t.equal(sensorKelvin('x', 0), 273.15)
  refuses(t, () => sensorKelvin('x', 100.1), 'out-of-range', 'too warm')
  refuses(t, () => depletionRatio({ temperatureCelsius: -151, referenceCelsius: 0 }), 'out-of-range', 'temperature')
  refuses(t, () => depletionRatio({ temperatureCelsius: 0, referenceCelsius: NaN }), 'out-of-range', 'reference')
  const pair = { temperatureCelsius: 0, referenceCelsius: 10 }
  refuses(
    t,
    () => activatedRatio({ ...pair, activationEnergyElectronVolts: 6, temperaturePower: 0 }),
    'out-of-range',
    'energy',
  )
  refuses(
    t,
    () => activatedRatio({ ...pair, activationEnergyElectronVolts: 1, temperaturePower: 9 }),
    'out-of-range',
    'power',
  )
  t.end()
})

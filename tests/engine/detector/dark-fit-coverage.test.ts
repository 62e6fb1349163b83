// Darks of a sensor whose every figure is known, over many seeds: 68 % intervals must hold the truth in 60 to 76 % of them.

import t, { type Test } from 'tap'
import { fitDarkCurrent, type DarkCurrentFit } from '../../../src/engine/detector/dark-current-fit.ts'
import { darkRatesFromLevels } from '../../../src/engine/detector/dark-rates.ts'
import { seededRandom } from '../../support/random.ts'
import { simulatedSensor } from '../../support/simulated-sensor.ts'
import { pairStatistics } from '../../../src/engine/detector/photon-transfer-pairs.ts'
import type { DarkLevel, DarkRate } from '../../../src/engine/detector/dark-rates.ts'
import type { MeasuredValue } from '../../../src/engine/detector/measured-value.ts'

const BOLTZMANN = 8.617333262e-5
const ENERGY = 0.63
const RATE = 0.05
const TEMPERATURES = [-25, -20, -15, -10, -5, 0, 5, 10]
const DOUBLING = (BOLTZMANN * 273.15 ** 2 * Math.LN2) / ENERGY

function rateAt(celsius: number): number {
  return RATE * Math.exp((ENERGY / BOLTZMANN) * (1 / 273.15 - 1 / (celsius + 273.15)))
}

/** Counts how often |measured - truth| is within `factor` standard uncertainties. */
function tally() {
  const hits = new Map<string, number>()
  const judge = (name: string, truth: number, measured: MeasuredValue | null, factor: number | null) => {
    const reach = Number(factor) * (measured?.standardUncertainty ?? NaN)
    const isHit = Math.abs((measured?.value ?? NaN) - truth) <= reach
    hits.set(name, (hits.get(name) ?? 0) + (isHit ? 1 : 0))
  }
  return { hits, judge }
}

function checkShares(t: Test, hits: ReadonlyMap<string, number>, seeds: number): void {
  for (const [name, count] of hits) {
    t.ok(count >= 0.6 * seeds && count <= 0.76 * seeds, `${name}: ${count / seeds} of the intervals hold the truth`)
  }
}

function noisyRates(seed: number, input: { constant: number; relative: number; given: boolean }): DarkRate[] {
  const random = seededRandom(seed)
  return TEMPERATURES.map((temperatureCelsius) => {
    const truth = rateAt(temperatureCelsius) + input.constant
    return {
      temperatureCelsius,
      electronsPerPixelSecond: random.normal(truth, input.relative * truth),
      ...(input.given ? { standardUncertainty: input.relative * truth } : {}),
    }
  })
}

for (const given of [true, false]) {
  void t.test(`rates with ${given ? 'given uncertainties' : 'nothing but their scatter'}`, (t) => {
    const seeds = 1000
    const { hits, judge } = tally()
    let outliers = 0
    let constants = 0
    for (let seed = 1; seed <= seeds; seed++) {
      const rates = noisyRates(seed, { constant: 0, relative: 0.04, given })
      const fit = fitDarkCurrent({ rates, referenceCelsius: 0 })
      judge('energy', ENERGY, fit.activationEnergyElectronVolts, fit.coverageFactor68)
      judge('doubling step', DOUBLING, fit.doublingCelsius, fit.coverageFactor68)
      judge('rate at the reference', RATE, fit.electronsPerPixelSecond, fit.coverageFactor68)
      outliers += fit.rates.filter(({ isOutlier }) => isOutlier).length
      constants += fit.form === 'thermal-and-constant' ? 1 : 0
    }
    checkShares(t, hits, seeds)
    t.equal(hits.size, 3)
    t.ok(outliers <= 0.002 * seeds * TEMPERATURES.length, `${outliers} of ${8 * seeds} sound rates called outliers`)
    t.ok(constants <= 0.02 * seeds, `glow seen in ${constants} of ${seeds} fits without any`)
    t.end()
  })
}

void t.test('rates with glow: it is found, and what is left is the sensor', (t) => {
  const seeds = 500
  const { hits, judge } = tally()
  let found = 0
  for (let seed = 1; seed <= seeds; seed++) {
    const rates = noisyRates(seed, { constant: 0.02, relative: 0.03, given: true })
    const fit = fitDarkCurrent({ rates, referenceCelsius: 0 })
    found += fit.form === 'thermal-and-constant' ? 1 : 0
    judge('energy beside glow', ENERGY, fit.activationEnergyElectronVolts, fit.coverageFactor68)
    judge('rate beside glow', RATE, fit.electronsPerPixelSecond, fit.coverageFactor68)
    judge('glow', 0.02, fit.constantElectronsPerPixelSecond, fit.coverageFactor68)
  }
  t.equal(found, seeds)
  checkShares(t, hits, seeds)
  t.equal(hits.size, 3)
  t.end()
})

void t.test('a wrong rate in twenty standard uncertainties is named in every seed, and hardly another', (t) => {
  let wrong = 0
  for (let seed = 1; seed <= 300; seed++) {
    const rates = noisyRates(seed, { constant: 0, relative: 0.03, given: true }).map((rate, index) =>
      index === seed % 8 ? { ...rate, electronsPerPixelSecond: 1.8 * rate.electronsPerPixelSecond } : rate,
    )
    const named = fitDarkCurrent({ rates, referenceCelsius: 0 }).rates.map(({ isOutlier }) => isOutlier)
    wrong += named.filter((isOutlier, index) => isOutlier !== (index === seed % 8)).length
  }
  t.ok(wrong <= 12, `${wrong} of 2400 verdicts are wrong`)
  t.end()
})

/** Levels of pairs of darks at every temperature and length, from frames. */
function levelsOfFrames(seed: number): { levels: DarkLevel[]; meanRate: number } {
  const gain = 0.9
  const random = seededRandom(seed)
  const sensor = simulatedSensor(
    {
      pixelCount: 600,
      electronsPerAdu: gain,
      readNoiseElectrons: 2.5,
      fullWellElectrons: 40_000,
      offsetAdu: 300,
      bitDepth: 16,
      photoResponseNonUniformityShare: 0.01,
      darkNonUniformityElectrons: 1.5,
      darkElectronsPerPixelSecond: RATE,
      atCelsius: 0,
      activationEnergyElectronVolts: ENERGY,
      hotPixelShare: 0.01,
      hotPixelFactor: 40,
    },
    random,
  )
  const levels = [-10, -2, 6, 14, 22].flatMap((celsius) =>
    [10, 60, 120].map((seconds) => {
      const frame = () => sensor.frame({ lightElectrons: 0, seconds, celsius })
      const { meanAdu, temporalVarianceAdu2, pixelCount } = pairStatistics(frame(), frame())
      const standardUncertainty = gain * Math.sqrt(temporalVarianceAdu2 / (2 * pixelCount))
      return { temperatureCelsius: celsius, subSeconds: seconds, meanElectrons: gain * meanAdu, standardUncertainty }
    }),
  )
  return { levels, meanRate: sensor.meanDarkElectronsPerPixelSecond }
}

void t.test('from frames with hot pixels: step, energy and rate, and never past four standard uncertainties', (t) => {
  const seeds = 200
  const { hits, judge } = tally()
  let farthest = 0
  for (let seed = 1; seed <= seeds; seed++) {
    const { levels, meanRate } = levelsOfFrames(seed)
    const { rates } = darkRatesFromLevels(levels)
    const fit: DarkCurrentFit = fitDarkCurrent({ rates, referenceCelsius: 0 })
    judge('energy from frames', ENERGY, fit.activationEnergyElectronVolts, fit.coverageFactor68)
    judge('doubling step from frames', DOUBLING, fit.doublingCelsius, fit.coverageFactor68)
    judge('rate from frames', meanRate, fit.electronsPerPixelSecond, fit.coverageFactor68)
    const { value, standardUncertainty } = fit.doublingCelsius
    farthest = Math.max(farthest, Math.abs(value - DOUBLING) / Number(standardUncertainty))
  }
  checkShares(t, hits, seeds)
  t.equal(hits.size, 3)
  t.ok(farthest < 4, `doubling step at most ${farthest} standard uncertainties off`)
  t.end()
})

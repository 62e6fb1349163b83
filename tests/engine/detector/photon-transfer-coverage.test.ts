// Frames of a sensor whose every figure is known, over many seeds: do the intervals that are reported hold the truth as
// often as they claim? 68 % intervals must do so in 60 to 76 % of the seeds.

import t from 'tap'
import { coverageFactor } from '../../../src/engine/detector/student-t.ts'
import { pairStatistics } from '../../../src/engine/detector/photon-transfer-pairs.ts'
import { photonTransfer } from '../../../src/engine/detector/photon-transfer.ts'
import { twoFlatsTwoBiases } from '../../../src/engine/detector/photon-transfer-two-flats.ts'
import { seededRandom } from '../../support/random.ts'
import { simulatedSensor } from '../../support/simulated-sensor.ts'
import type { MeasuredValue } from '../../../src/engine/detector/measured-value.ts'
import type { PhotonTransferLevel } from '../../../src/engine/detector/photon-transfer-levels.ts'
import type { SensorTruth, SimulatedSensor } from '../../support/simulated-sensor.ts'

const TRUTH: SensorTruth = {
  pixelCount: 1500,
  electronsPerAdu: 1.3,
  readNoiseElectrons: 3.2,
  fullWellElectrons: 30_000,
  offsetAdu: 200,
  bitDepth: 16,
  photoResponseNonUniformityShare: 0.01,
  darkNonUniformityElectrons: 2.5,
  darkElectronsPerPixelSecond: 0.4,
  atCelsius: 0,
  activationEnergyElectronVolts: 0.63,
  hotPixelShare: 0,
  hotPixelFactor: 1,
}
const SEEDS = 400
const LIGHT_ELECTRONS = [500, 2000, 5000, 9000, 13_000, 17_000, 20_000]
const DARK_SECONDS = [30, 100, 200, 300]

function pair(sensor: SimulatedSensor, exposure: { lightElectrons: number; seconds: number }) {
  return pairStatistics(sensor.frame({ ...exposure, celsius: 0 }), sensor.frame({ ...exposure, celsius: 0 }))
}

/** Flats so short that one pair of bias frames is the dark of all levels. */
function ladder(sensor: SimulatedSensor, lights: readonly number[]): PhotonTransferLevel[] {
  const bias = pair(sensor, { lightElectrons: 0, seconds: 0 })
  return lights.map((lightElectrons) => {
    const flat = pair(sensor, { lightElectrons, seconds: 0 })
    return {
      meanAdu: flat.meanAdu,
      temporalVarianceAdu2: flat.temporalVarianceAdu2,
      spatialVarianceAdu2: flat.spatialVarianceAdu2,
      darkMeanAdu: bias.meanAdu,
      darkTemporalVarianceAdu2: bias.temporalVarianceAdu2,
      darkSpatialVarianceAdu2: bias.spatialVarianceAdu2,
      pixelCount: flat.pixelCount,
      exposureSeconds: lightElectrons / 1000,
    }
  })
}

void t.test('68 % intervals of every photon transfer figure hold the truth in 60 to 76 % of the seeds', (t) => {
  const hits = new Map<string, number>()
  const widest = new Map<string, number>()
  const judge = (name: string, truth: number, measured: MeasuredValue | null, factor = 1) => {
    const off = Math.abs((measured?.value ?? NaN) - truth) / (measured?.standardUncertainty ?? NaN)
    hits.set(name, (hits.get(name) ?? 0) + (off <= factor ? 1 : 0))
    widest.set(name, Math.max(widest.get(name) ?? 0, off))
  }
  for (let seed = 1; seed <= SEEDS; seed++) {
    const sensor = simulatedSensor(TRUTH, seededRandom(seed))
    const levels = ladder(sensor, LIGHT_ELECTRONS)
    const darks = DARK_SECONDS.map((seconds) => ({
      exposureSeconds: seconds,
      ...pair(sensor, { lightElectrons: 0, seconds }),
    }))
    const result = photonTransfer({ levels, darks })
    judge('gain', TRUTH.electronsPerAdu, result.electronsPerAdu)
    judge('gain, line with intercept', TRUTH.electronsPerAdu, result.gain.withIntercept?.electronsPerAdu ?? null)
    judge('intercept', 0, result.gain.withIntercept?.interceptAdu2 ?? null)
    judge('read noise', TRUTH.readNoiseElectrons, result.readNoiseElectrons)
    const withRounding = Math.sqrt(TRUTH.readNoiseElectrons ** 2 + TRUTH.electronsPerAdu ** 2 / 12)
    judge('read noise with quantisation', withRounding, result.readNoiseWithQuantizationElectrons)
    judge('threshold', Math.sqrt(withRounding ** 2 + 1 / 4) + 1 / 2, result.sensitivityThresholdElectrons)
    judge('DSNU', TRUTH.darkNonUniformityElectrons, result.uniformity?.darkNonUniformityElectrons ?? null)
    judge('PRNU', TRUTH.photoResponseNonUniformityShare, result.uniformity?.photoResponseNonUniformityShare ?? null)
    judge('dark current by mean', TRUTH.darkElectronsPerPixelSecond, result.darkCurrent?.byMean ?? null)
    judge('dark current by variance', TRUTH.darkElectronsPerPixelSecond, result.darkCurrent?.byVariance ?? null)

    const unknown = photonTransfer({ levels: levels.map(withoutPixelCount), darks: [] })
    const { degreesOfFreedom } = unknown.gain
    judge(
      'gain, uncertainty from the scatter',
      TRUTH.electronsPerAdu,
      unknown.electronsPerAdu,
      coverageFactor({ level: 'one-sigma', degreesOfFreedom }),
    )
    const two = twoFlatsOf(sensor)
    judge('gain of two flats and two biases', TRUTH.electronsPerAdu, two.electronsPerAdu)
    judge('read noise of two flats and two biases', withRounding, two.readNoiseElectrons)
  }
  for (const [name, count] of hits) {
    const share = count / SEEDS
    t.ok(share >= 0.6 && share <= 0.76, `${name}: ${share} of the intervals hold the truth`)
    const farthest = widest.get(name) ?? NaN
    t.ok(farthest < 4.5, `${name}: ${farthest.toFixed(2)} standard uncertainties off at most`)
  }
  t.equal(hits.size, 13)
  t.end()
})

function withoutPixelCount(level: PhotonTransferLevel): PhotonTransferLevel {
  const rest = { ...level }
  delete rest.pixelCount
  return rest
}

function twoFlatsOf(sensor: SimulatedSensor) {
  const flat = pair(sensor, { lightElectrons: 15_000, seconds: 0 })
  const bias = pair(sensor, { lightElectrons: 0, seconds: 0 })
  return twoFlatsTwoBiases({
    flatMeansAdu: [flat.meanAdu, flat.meanAdu],
    biasMeansAdu: [bias.meanAdu, bias.meanAdu],
    flatDifferenceAdu: Math.sqrt(2 * flat.temporalVarianceAdu2),
    biasDifferenceAdu: Math.sqrt(2 * bias.temporalVarianceAdu2),
    pixelCount: flat.pixelCount,
  })
}

import fc from 'fast-check'
import t from 'tap'
import { pairStatistics } from '../../../src/engine/detector/photon-transfer-pairs.ts'
import { photonTransfer, type PhotonTransfer } from '../../../src/engine/detector/photon-transfer.ts'
import { temporalSnr } from '../../../src/engine/detector/photon-transfer-limits.ts'
import { near, refuses, within } from '../../support/near.ts'
import { seededRandom } from '../../support/random.ts'
import { simulatedSensor, type SensorTruth } from '../../support/simulated-sensor.ts'
import { EMVA_EXAMPLE } from './photon-transfer-example.ts'
import type { MeasuredValue } from '../../../src/engine/detector/measured-value.ts'
import type { PhotonTransferLevel } from '../../../src/engine/detector/photon-transfer-levels.ts'

void t.test(
  'D-PTC-11 responsivity 0.126750 ADU/photon, quantum efficiency 45.311 % (EMVA 1288 reference data)',
  (t) => {
    const { response } = photonTransfer({ levels: EMVA_EXAMPLE, darks: [] })
    within(t, Number(response?.aduPerPhoton), 0.12675, 5e-7, 'ADU/photon')
    within(t, Number(response?.quantumEfficiency.value), 0.45311, 5e-6, 'electrons/photon')
    within(
      t,
      Number(response?.quantumEfficiency.value) * 30_957,
      14_027.1,
      0.05,
      'D-PTC-13 saturation at 30957 photons',
    )
    t.end()
  },
)

void t.test('D-PTC-12 dark noise of the first dark row: 10.9397 e- (EMVA 1288 reference data)', (t) => {
  const result = photonTransfer({ levels: [...EMVA_EXAMPLE].reverse(), darks: [] })
  within(t, Number(result.readNoiseElectrons?.value), 10.9397, 5e-5, 'without quantisation')
  t.equal(result.readNoiseBelowElectrons, null)
  near(t, result.readNoiseWithQuantizationElectrons.value, Math.sqrt(9.448) / 0.27973, 1e-5, 'with it')
  within(t, result.sensitivityThresholdElectrons.value, 11.5, 5e-4, 'D-PTC-13 threshold')
  t.equal(result.offsetAdu, 14.72)
  t.end()
})

void t.test('the example data, 307200 pixels: K within its own uncertainty of the whole data set (0.280769)', (t) => {
  const result = photonTransfer({ levels: EMVA_EXAMPLE, darks: [] })
  t.equal(result.levelsInGain, 9)
  t.match(result, { saturation: null, uniformity: null, darkCurrent: null, gain: { uncertaintyFrom: 'scatter' } })
  near(t, Number(result.linearity?.errorShare), 0.002773, 1e-3, 'D-PTC-14 linearity error')
  const { value, standardUncertainty } = result.gain.throughOrigin.aduPerElectron
  within(t, value, 0.280769, 2 * Number(standardUncertainty), 'ADU/e-')
  t.end()
})

void t.test(
  'D-PTC-15 measured SNR 67.337 at 10399 photons, modelled 67.781, -0.65 % (EMVA 1288 reference data)',
  (t) => {
    const result = photonTransfer({ levels: EMVA_EXAMPLE, darks: [] })
    const measured = (1338.91 - 14.8) / Math.sqrt(386.668)
    const aduPerElectron = result.gain.throughOrigin.aduPerElectron.value
    const modelled = temporalSnr({
      electrons: Number(result.response?.quantumEfficiency.value) * 10_399,
      readNoiseElectrons: Number(result.readNoiseElectrons?.value),
      quantizationElectrons2: 1 / 12 / aduPerElectron ** 2,
    })
    near(t, measured, 67.337, 1e-5, 'measured')
    near(t, modelled, 67.781, 1e-5, 'modelled')
    within(t, measured / modelled - 1, -0.0065, 6e-5, 'agreement')
    t.end()
  },
)

/** K = 0.5 ADU/e⁻ and a clip at 60000 e⁻, without noise in the statistics themselves. */
function exactLevel(electrons: number, change: Partial<PhotonTransferLevel> = {}): PhotonTransferLevel {
  const isClipped = electrons > 60_000
  return {
    meanAdu: 400 + Math.min(electrons, 60_000) / 2,
    temporalVarianceAdu2: isClipped ? 4 : 4 + electrons / 4,
    darkMeanAdu: 400,
    darkTemporalVarianceAdu2: 4,
    exposureSeconds: electrons / 1000,
    pixelCount: 1e6,
    ...change,
  }
}
const ELECTRONS = [1000, 5000, 15_000, 30_000, 40_000, 50_000, 57_000, 59_000, 70_000]

void t.test('a whole ladder: gain below 70 % of saturation, linearity from 5 to 95 %, range from saturation', (t) => {
  const result = photonTransfer({ levels: ELECTRONS.map((one) => exactLevel(one)), darks: [] })
  t.equal(result.levelsInGain, 5, 'up to 0.7 x 59000')
  near(t, result.electronsPerAdu.value, 2, 1e-12, 'gain')
  t.match(result.saturation, { method: 'variance-maximum', signalAdu: 29_500, meanAdu: 29_900 })
  near(t, Number(result.saturation?.fullWellElectrons.value), 59_000, 1e-12, 'full well')
  near(t, Number(result.saturation?.maximumSnr.value), Math.sqrt(59_000), 1e-12, 'SNR_max')
  const threshold = Math.sqrt(16 + 0.25) + 0.5
  near(t, result.sensitivityThresholdElectrons.value, threshold, 1e-12, 'threshold')
  near(t, Number(result.saturation?.dynamicRange.value), 59_000 / threshold, 1e-12, 'dynamic range')
  near(t, Number(result.saturation?.dynamicRangeDecibels.value), 20 * Math.log10(59_000 / threshold), 1e-12, 'dB')
  near(t, Number(result.saturation?.dynamicRangeBits.value), Math.log2(59_000 / threshold), 1e-12, 'bits')
  t.equal(result.linearity?.deviationShares.length, 5, '2950 to 56050 electrons')
  within(t, Number(result.linearity?.errorShare), 0, 1e-12, 'straight')
  near(t, Number(result.readNoiseElectrons?.value), 2 * Math.sqrt(4 - 1 / 12), 1e-12, 'read noise')
  t.same([result.response, result.uniformity, result.darkCurrent], [null, null, null])
  t.end()
})

void t.test('uncertainties of what hangs on gain, dark noise and saturation, in closed form', (t) => {
  const result = photonTransfer({ levels: ELECTRONS.map((one) => exactLevel(one)), darks: [] })
  const gain = Number(result.electronsPerAdu.standardUncertainty) / 2
  const saturation = Number(result.saturation?.standardUncertainty) / 29_500
  const fullWell = result.saturation?.fullWellElectrons
  near(t, Number(fullWell?.standardUncertainty) / 59_000, Math.hypot(gain, saturation), 1e-6, 'full well')
  const snr = result.saturation?.maximumSnr
  near(t, Number(snr?.standardUncertainty) / Number(snr?.value), Math.hypot(gain, saturation) / 2, 1e-6, 'SNR_max')
  const dark = Math.sqrt(2 / 1e6)
  const read = result.readNoiseWithQuantizationElectrons
  near(t, Number(read.standardUncertainty) / read.value, Math.hypot(gain, dark / 2), 1e-6, 'read noise')
  const without = result.readNoiseElectrons
  const share = (dark * 4) / (4 - 1 / 12) / 2
  near(
    t,
    Number(without?.standardUncertainty) / Number(without?.value),
    Math.hypot(gain, share),
    1e-6,
    'without rounding',
  )
  const decibels = result.saturation?.dynamicRangeDecibels
  const range = result.saturation?.dynamicRange
  const relative = Number(range?.standardUncertainty) / Number(range?.value)
  near(t, Number(decibels?.standardUncertainty), (20 / Math.LN10) * relative, 1e-4, 'dB of the same')
  t.end()
})

void t.test('one level alone: no uncertainty anywhere, no linearity', (t) => {
  const alone = withoutPixels(exactLevel(20_000, { spatialVarianceAdu2: 101, darkSpatialVarianceAdu2: 1 }))
  const result = photonTransfer({ levels: [alone], darks: [] })
  t.match(result, {
    electronsPerAdu: { standardUncertainty: null },
    readNoiseElectrons: { standardUncertainty: null },
    sensitivityThresholdElectrons: { standardUncertainty: null },
    saturation: null,
    linearity: null,
    uniformity: {
      atSignalAdu: 10_000,
      darkNonUniformityElectrons: { value: 2, standardUncertainty: null },
      photoResponseNonUniformityShare: { value: 0.001, standardUncertainty: null },
    },
  })
  const three = photonTransfer({
    levels: [1, 2, 3].map((one) => exactLevel(1000 * one)),
    darks: [],
  })
  const floor = [1, 2, 3].map((one) => Math.sqrt((4 + 250 * one + 4) / 2e6) / (500 * one))
  near(t, Number(three.linearity?.standardUncertainty), Math.hypot(...floor) / 3, 1e-9, 'levels known by their pixels')
  const unknown = photonTransfer({ levels: [exactLevel(1000)].map(withoutPixels), darks: [] })
  t.equal(unknown.gain.effectivePixelCount, null)
  t.end()
})

function withoutPixels(level: PhotonTransferLevel): PhotonTransferLevel {
  const rest = { ...level }
  delete rest.pixelCount
  return rest
}

void t.test(
  'linearity counts photons where all levels state them, else seconds; unless all state one, there is none',
  (t) => {
    const levels = [5000, 10_000, 20_000].map((electrons) => exactLevel(electrons, { photonsPerPixel: 2 * electrons }))
    const byPhotons = photonTransfer({ levels, darks: [] })
    near(t, Number(byPhotons.linearity?.slope), 0.25, 1e-12, 'ADU/photon')
    near(t, Number(byPhotons.response?.quantumEfficiency.value), 0.5, 1e-12, 'efficiency')
    const [first, ...others] = levels
    const { photonsPerPixel, ...bare } = first ?? exactLevel(1)
    t.equal(photonsPerPixel, 10_000)
    const bySeconds = photonTransfer({ levels: [bare, ...others], darks: [] })
    near(t, Number(bySeconds.linearity?.slope), 500, 1e-12, 'ADU/s')
    t.equal(bySeconds.response, null)
    const { exposureSeconds, ...neither } = bare
    t.equal(exposureSeconds, 5)
    t.equal(photonTransfer({ levels: [neither, ...others], darks: [] }).linearity, null)
    const dim = exactLevel(1, { meanAdu: 399 })
    t.equal(
      photonTransfer({ levels: [dim, ...levels], darks: [] }).linearity?.deviationShares.length,
      3,
      'above the dark',
    )
    t.end()
  },
)

void t.test('PRNU and DSNU from the level nearest to half of saturation, or the brightest', (t) => {
  const spatial = (electrons: number) =>
    exactLevel(electrons, { spatialVarianceAdu2: 9 + (0.01 * electrons * 0.5) ** 2, darkSpatialVarianceAdu2: 9 })
  const saturating = photonTransfer({ levels: ELECTRONS.map(spatial), darks: [] })
  t.equal(saturating.uniformity?.atSignalAdu, 15_000)
  near(t, Number(saturating.uniformity?.darkNonUniformityElectrons?.value), 6, 1e-12, 'DSNU')
  near(t, Number(saturating.uniformity?.photoResponseNonUniformityShare?.value), 0.01, 1e-12, 'PRNU')
  const open = photonTransfer({ levels: [20_000, 1000, 5000].map(spatial), darks: [] })
  t.equal(open.uniformity?.atSignalAdu, 10_000)
  t.end()
})

void t.test('PRNU and DSNU carry the scatter of their covariances', (t) => {
  const level = exactLevel(20_000, { spatialVarianceAdu2: 10_009, darkSpatialVarianceAdu2: 9 })
  const { uniformity, gain } = photonTransfer({ levels: [level], darks: [] })
  const bright = Math.hypot(10_009 + 5004, 10_009) / 1000
  const dark = Math.hypot(9 + 4, 9) / 1000
  const prnu = uniformity?.photoResponseNonUniformityShare
  near(t, Number(prnu?.standardUncertainty), Math.hypot(bright, dark) / (2 * 100) / 10_000, 1e-5, 'PRNU')
  const dsnu = uniformity?.darkNonUniformityElectrons
  const relative = Number(gain.throughOrigin.electronsPerAdu.standardUncertainty) / 2
  near(t, Number(dsnu?.standardUncertainty) / 6, Math.hypot(dark / 18, relative), 1e-5, 'DSNU')
  t.end()
})

void t.test('a spatial variance that comes out negative is undefined, and says nothing else is', (t) => {
  const level = exactLevel(20_000, { spatialVarianceAdu2: -3, darkSpatialVarianceAdu2: -1 })
  const { uniformity } = photonTransfer({ levels: [level], darks: [] })
  t.same(uniformity, {
    atSignalAdu: 10_000,
    darkNonUniformityElectrons: null,
    photoResponseNonUniformityShare: null,
  })
  const half = exactLevel(20_000, { spatialVarianceAdu2: 100 })
  t.equal(photonTransfer({ levels: [half], darks: [] }).uniformity, null, 'the dark one is missing')
  const dark = exactLevel(1, { meanAdu: 399, spatialVarianceAdu2: 1, darkSpatialVarianceAdu2: 1 })
  t.equal(photonTransfer({ levels: [dark, exactLevel(5000)], darks: [] }).uniformity, null, 'below its dark')
  t.end()
})

void t.test('read noise that rounding hides is bounded', (t) => {
  const quiet = { darkTemporalVarianceAdu2: 0.1, temporalVarianceAdu2: 5000.1 }
  const result = photonTransfer({ levels: [exactLevel(20_000, quiet)], darks: [] })
  t.equal(result.readNoiseElectrons, null)
  near(t, Number(result.readNoiseBelowElectrons), 2 * Math.sqrt(0.24 - 1 / 12), 1e-9, 'below 0.79 electrons')
  t.end()
})

void t.test('dark current where a ladder of darks is given', (t) => {
  const darks = [0, 100, 200].map((seconds) => ({
    exposureSeconds: seconds,
    meanAdu: 400 + 0.1 * seconds,
    temporalVarianceAdu2: 4 + 0.05 * seconds,
    pixelCount: 1e6,
  }))
  const { darkCurrent } = photonTransfer({ levels: [exactLevel(20_000)], darks })
  near(t, Number(darkCurrent?.byMean.value), 0.2, 1e-9, 'by mean')
  near(t, Number(darkCurrent?.byVariance.value), 0.2, 1e-9, 'by variance')
  t.end()
})

const TRUTH: SensorTruth = {
  pixelCount: 2000,
  electronsPerAdu: 0.8,
  readNoiseElectrons: 2.6,
  fullWellElectrons: 18_000,
  offsetAdu: 120,
  bitDepth: 16,
  photoResponseNonUniformityShare: 0.012,
  darkNonUniformityElectrons: 3,
  darkElectronsPerPixelSecond: 0.6,
  atCelsius: 20,
  activationEnergyElectronVolts: 0.63,
  hotPixelShare: 0.005,
  hotPixelFactor: 30,
}

/** Ladder into saturation, by frames, each level with darks of its own. */
function simulatedLadder(truth: SensorTruth, seed: number): { result: PhotonTransfer; meanDark: number } {
  const sensor = simulatedSensor(truth, seededRandom(seed))
  const highest = 2 ** truth.bitDepth - 1
  const levels = [600, 2000, 4500, 7000, 9000, 11_000, 12_500, 15_000, 16_500, 17_500, 19_500].map((lightElectrons) => {
    const seconds = 0.2
    const frame = (light: number) => sensor.frame({ lightElectrons: light, seconds, celsius: 20 })
    const [first, second] = [frame(lightElectrons), frame(lightElectrons)]
    const flat = pairStatistics(first, second)
    const dark = pairStatistics(frame(0), frame(0))
    return {
      meanAdu: flat.meanAdu,
      temporalVarianceAdu2: flat.temporalVarianceAdu2,
      spatialVarianceAdu2: flat.spatialVarianceAdu2,
      darkMeanAdu: dark.meanAdu,
      darkTemporalVarianceAdu2: dark.temporalVarianceAdu2,
      darkSpatialVarianceAdu2: dark.spatialVarianceAdu2,
      pixelCount: truth.pixelCount,
      exposureSeconds: lightElectrons / 1000,
      ...(highest < 60_000 ? { clippedShare: first.filter((value) => value === highest).length / first.length } : {}),
    }
  })
  const darks = [5, 50, 100, 150].map((seconds) => {
    const frame = () => sensor.frame({ lightElectrons: 0, seconds, celsius: 20 })
    return { exposureSeconds: seconds, ...pairStatistics(frame(), frame()) }
  })
  return { result: photonTransfer({ levels, darks }), meanDark: sensor.meanDarkElectronsPerPixelSecond }
}

function deviation(measured: MeasuredValue | null | undefined, truth: number): number {
  return Math.abs(Number(measured?.value) - truth) / Number(measured?.standardUncertainty)
}

void t.test('frames of known sensors: every figure within three of its own standard uncertainties', (t) => {
  for (const seed of [1, 2, 3, 4, 5]) {
    const { result, meanDark } = simulatedLadder(TRUTH, seed)
    const figures = {
      gain: deviation(result.electronsPerAdu, 0.8),
      readNoise: deviation(result.readNoiseElectrons, 2.6),
      fullWell: deviation(result.saturation?.fullWellElectrons, 18_000),
      dsnu: deviation(result.uniformity?.darkNonUniformityElectrons, 3),
      prnu: deviation(result.uniformity?.photoResponseNonUniformityShare, 0.012),
      darkByMean: deviation(result.darkCurrent?.byMean, meanDark),
      darkByVariance: deviation(result.darkCurrent?.byVariance, meanDark),
    }
    for (const [name, off] of Object.entries(figures)) t.ok(off < 3, `seed ${seed}, ${name}: ${off.toFixed(2)}`)
    t.equal(result.saturation?.method, 'variance-maximum')
    t.ok(Number(result.linearity?.errorShare) < 3 * Number(result.linearity?.noiseFloorShare), 'straight to its noise')
  }
  t.end()
})

void t.test('a converter that clips first: saturation by the share of clipped pixels', (t) => {
  // 14 bits at 0.8 e⁻/ADU and offset 120: codes end at 13010 electrons. With noise and PRNU of 187 electrons together the
  // brightest 0.15 % (2.97 standard deviations) touch them at a mean of 12455.
  const { result } = simulatedLadder({ ...TRUTH, bitDepth: 14 }, 6)
  t.equal(result.saturation?.method, 'clipped-share')
  t.ok(deviation(result.saturation?.fullWellElectrons, 12_455) < 3)
  t.ok(Number(result.saturation?.fullWellElectrons.value) < 13_010, 'below the full well, as the standard warns')
  t.end()
})

void t.test('brighter in both gain and level scales leave electrons as they are; order does not matter', (t) => {
  fc.assert(
    fc.property(fc.double({ min: 0.05, max: 20, noNaN: true }), (scale) => {
      const levels = EMVA_EXAMPLE.map((level) => ({
        ...level,
        meanAdu: level.meanAdu * scale,
        darkMeanAdu: level.darkMeanAdu * scale,
        temporalVarianceAdu2: level.temporalVarianceAdu2 * scale ** 2,
        darkTemporalVarianceAdu2: level.darkTemporalVarianceAdu2 * scale ** 2,
      }))
      const scaled = photonTransfer({ levels: [...levels].reverse(), darks: [] })
      const plain = photonTransfer({ levels: EMVA_EXAMPLE, darks: [] })
      const same = (a: number, b: number) => Math.abs(a / b - 1) < 1e-9
      return (
        same(scaled.electronsPerAdu.value * scale, plain.electronsPerAdu.value) &&
        same(scaled.readNoiseWithQuantizationElectrons.value, plain.readNoiseWithQuantizationElectrons.value) &&
        same(Number(scaled.response?.quantumEfficiency.value), Number(plain.response?.quantumEfficiency.value))
      )
    }),
    { numRuns: 50, seed: 15 },
  )
  t.end()
})

void t.test('what has no meaning is refused', (t) => {
  const refused = (levels: readonly PhotonTransferLevel[], code: string, what: string) => {
    refuses(t, () => photonTransfer({ levels, darks: [] }), code, what)
  }
  refused([], 'not-enough-data', 'nothing')
  for (const change of [
    { meanAdu: NaN },
    { darkMeanAdu: 1e10 },
    { temporalVarianceAdu2: -1 },
    { darkTemporalVarianceAdu2: 0 },
    { spatialVarianceAdu2: NaN },
    { darkSpatialVarianceAdu2: NaN },
    { pixelCount: 1 },
    { photonsPerPixel: 0 },
    { exposureSeconds: 0 },
    { clippedShare: 1.1 },
  ]) {
    refused([exactLevel(1000, change)], 'out-of-range', JSON.stringify(change))
  }
  refused([exactLevel(1000), withoutPixels(exactLevel(2000))], 'out-of-range', 'pixels for some levels only')
  refused([exactLevel(1000), exactLevel(2000, { clippedShare: 0 })], 'out-of-range', 'shares for some levels only')
  t.end()
})

void t.test('levels that all lie above 70 % of saturation give no gain', (t) => {
  const near = (signal: number, temporalVarianceAdu2: number) => ({
    ...{ meanAdu: 500 + signal, temporalVarianceAdu2, darkMeanAdu: 500, darkTemporalVarianceAdu2: 16 },
  })
  const levels = [near(8000, 8016), near(9000, 9016), near(9300, 16)]
  t.throws(() => photonTransfer({ levels, darks: [] }), { code: 'not-enough-data', message: /below 70 %/ })
  t.end()
})

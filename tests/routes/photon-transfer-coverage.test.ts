// Forms of simulated frames over many seeds: do the intervals that are answered hold the truth as often as they claim?
// 68 % intervals must do so in 60 to 76 % of the seeds.

import t from 'tap'
import { buildApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import type { PhotonTransferAnswer } from '../../src/contract/photon-transfer.ts'
import { photonTransfer } from '../../src/routes/photon-transfer/index.ts'
import { card, unsignedFile } from '../frames/support/fits-file.ts'
import { FORM_TYPE, formOf, type Part } from '../support/multipart.ts'
import { seededRandom } from '../support/random.ts'
import { simulatedSensor } from '../support/simulated-sensor.ts'

const SEEDS = 220
const SIDE_PX = 40
const TRUTH = {
  pixelCount: SIDE_PX ** 2,
  electronsPerAdu: 1.1,
  readNoiseElectrons: 2.8,
  fullWellElectrons: 30_000,
  offsetAdu: 300,
  bitDepth: 16,
  photoResponseNonUniformityShare: 0.01,
  darkNonUniformityElectrons: 2.5,
  darkElectronsPerPixelSecond: 0.4,
  atCelsius: 0,
  activationEnergyElectronVolts: 0.63,
  hotPixelShare: 0,
  hotPixelFactor: 1,
}
const LIGHT_ELECTRONS = [500, 3000, 7000, 12_000, 17_000, 20_000]
const DARK_SECONDS = [60, 180, 300]
const READ_NOISE_ELECTRONS = Math.sqrt(TRUTH.readNoiseElectrons ** 2 + TRUTH.electronsPerAdu ** 2 / 12)

const app = await buildApp({
  endpoints: [photonTransfer],
  config: readConfig({ LOG_LEVEL: 'silent' }),
  uploads: { threads: 1 },
})
t.teardown(() => app.close())

function formOfSeed(seed: number): Buffer {
  const sensor = simulatedSensor(TRUTH, seededRandom(seed))
  const pair = (name: string, lightElectrons: number, seconds: number): Part[] =>
    [1, 2].map((index) => [
      name,
      // Flats and bias frames are too short for dark current.
      unsignedFile(
        sensor.frame({ lightElectrons, seconds: name === 'dark' ? seconds : 0, celsius: 0 }),
        [SIDE_PX, SIDE_PX],
        [card('EXPTIME', seconds)],
      ),
      `${index}.fits`,
    ])
  return formOf([
    ...LIGHT_ELECTRONS.flatMap((light) => pair('flat', light, light / 1000)),
    ...pair('bias', 0, 0.001),
    ...DARK_SECONDS.flatMap((seconds) => pair('dark', 0, seconds)),
  ])
}

async function answerTo(seed: number): Promise<PhotonTransferAnswer> {
  const headers = { 'content-type': FORM_TYPE }
  const response = await app.inject({ method: 'POST', url: '/v1/photon-transfer', headers, payload: formOfSeed(seed) })
  if (response.statusCode !== 200) throw new Error(response.body)
  return response.json<PhotonTransferAnswer>()
}

const FIGURES: Record<string, [truth: number, of: (answer: PhotonTransferAnswer) => unknown]> = {
  gain: [TRUTH.electronsPerAdu, (answer) => answer.electronsPerAdu],
  'gain, line with intercept': [TRUTH.electronsPerAdu, (answer) => answer.gain.withIntercept?.electronsPerAdu],
  'read noise': [READ_NOISE_ELECTRONS, (answer) => answer.readNoiseElectrons],
  DSNU: [TRUTH.darkNonUniformityElectrons, (answer) => answer.darkNonUniformityElectrons],
  PRNU: [TRUTH.photoResponseNonUniformityShare, (answer) => answer.photoResponseNonUniformityShare],
  'dark current by mean': [TRUTH.darkElectronsPerPixelSecond, (answer) => answer.darkCurrent?.byMean],
  'dark current by variance': [TRUTH.darkElectronsPerPixelSecond, (answer) => answer.darkCurrent?.byVariance],
}

void t.test(`68 % intervals from ${SEEDS} forms hold the truth in 60 to 76 % of them`, async (t) => {
  const hits = new Map<string, number>()
  for (let seed = 1; seed <= SEEDS; seed++) {
    const answer = await answerTo(seed)
    for (const [name, [truth, of]] of Object.entries(FIGURES)) {
      const { value, standardUncertainty } = of(answer) as { value: number; standardUncertainty: number }
      const isHeld = Math.abs(value - truth) <= standardUncertainty
      hits.set(name, (hits.get(name) ?? 0) + Number(isHeld))
    }
  }
  t.equal(hits.size, 7)
  for (const [name, count] of hits) {
    const share = count / SEEDS
    t.ok(share >= 0.6 && share <= 0.76, `${name}: ${share.toFixed(3)} of the intervals hold the truth`)
  }
})

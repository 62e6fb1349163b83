// The form of photon transfer: a camera whose figures are known, frames of it, and a way to send them.

import { buildApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import type { PhotonTransferAnswer } from '../../src/contract/photon-transfer.ts'
import type { Problem } from '../../src/contract/problem.ts'
import { photonTransfer } from '../../src/routes/photon-transfer/index.ts'
import { card, unsignedFile } from '../frames/support/fits-file.ts'
import { FORM_TYPE, formOf, type Part } from '../support/multipart.ts'
import { seededRandom } from '../support/random.ts'
import { simulatedSensor } from '../support/simulated-sensor.ts'

/** To be closed by the test. */
export const app = await buildApp({
  endpoints: [photonTransfer],
  config: readConfig({ LOG_LEVEL: 'silent' }),
  uploads: { threads: 1 },
})

export async function send(parts: readonly Part[] | Buffer, headers: Record<string, string> = {}) {
  const response = await app.inject({
    method: 'POST',
    url: '/v1/photon-transfer',
    headers: { 'content-type': FORM_TYPE, ...headers },
    payload: Buffer.isBuffer(parts) ? parts : formOf(parts),
  })
  const body = response.json<PhotonTransferAnswer & Problem>()
  return {
    status: response.statusCode,
    answer: body,
    errors: body.errors ?? [],
    detail: body.detail,
    headers: response.headers,
  }
}

export const SIDE_PX = 200
export const AXES = [SIDE_PX, SIDE_PX]
/** The middle that is measured, as the description says: half of the width and height. */
export const MIDDLE_PX = 100
export const TRUTH = {
  pixelCount: SIDE_PX ** 2,
  electronsPerAdu: 0.8,
  readNoiseElectrons: 3.5,
  fullWellElectrons: 40_000,
  offsetAdu: 500,
  bitDepth: 16,
  photoResponseNonUniformityShare: 0.01,
  darkNonUniformityElectrons: 2,
  darkElectronsPerPixelSecond: 0.5,
  atCelsius: -10,
  activationEnergyElectronVolts: 0.6,
  hotPixelShare: 0,
  hotPixelFactor: 1,
}
export const sensor = simulatedSensor(TRUTH, seededRandom(4711))
export const frame = (lightElectrons: number, seconds: number, others: string[] = []) =>
  unsignedFile(
    sensor.frame({ lightElectrons, seconds, celsius: -10 }),
    [SIDE_PX, SIDE_PX],
    [card('EXPTIME', seconds), ...others],
  )

export const pairOf = (name: string, lightElectrons: number, seconds: number): Part[] =>
  [1, 2].map((index) => [
    name,
    frame(lightElectrons, seconds, [card('CCD-TEMP', -10)]),
    `${name}-${seconds}-${index}.fits`,
  ])

const flats = [2000, 6000, 12_000, 18_000, 26_000, 36_000, 60_000].map((light) => pairOf('flat', light, light / 10_000))
export const bias = pairOf('bias', 0, 0.001)
const darks = [100, 400].map((seconds) => pairOf('dark', 0, seconds))
export const LADDER = [...flats.flat(), ...bias, ...darks.flat()]

// The service that measures frames, and a frame of known truth.

import t from 'tap'
import { buildApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import type { FramesAnswer } from '../../src/contract/frames.ts'
import type { Problem } from '../../src/contract/problem.ts'
import { frames } from '../../src/routes/frames/index.ts'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { skyBackground } from '../../src/routes/sky-background/index.ts'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { card, header, imageCards, unsignedFile } from '../frames/support/fits-file.ts'
import { simulate, starField } from '../frames/support/simulate.ts'

export const app = await buildApp({
  endpoints: [frames, noiseBudget, skyBackground, subExposure],
  config: readConfig({ LOG_LEVEL: 'silent' }),
})
t.teardown(() => app.close())

export interface Sent {
  status: number
  answer: FramesAnswer
  problem: Problem
  headers: Record<string, unknown>
}

export async function send(payload: Buffer, query = '', headers: Record<string, string> = {}): Promise<Sent> {
  const response = await app.inject({
    method: 'POST',
    url: `/v1/frames${query}`,
    headers: { 'content-type': 'application/fits', ...headers },
    payload,
  })
  const body = response.json<FramesAnswer & Problem>()
  return { status: response.statusCode, answer: body, problem: body, headers: response.headers }
}

export const SIDE_PX = 512
export const AXES = [SIDE_PX, SIDE_PX]
export const SUB_SECONDS = 120
export const GAIN = 2
export const OFFSET_ADU = 500
export const SKY_ELECTRONS = 400
export const READ_NOISE_ELECTRONS = 2
export const stars = starField({
  ...{ seed: 7, count: 40, widthPx: SIDE_PX, heightPx: SIDE_PX, margin: 20 },
  ...{ faintest: 2000, brightest: 2e5, fwhmPx: 3 },
})
export const adu = simulate({
  ...{
    widthPx: SIDE_PX,
    heightPx: SIDE_PX,
    seed: 8,
    stars,
    acrossWidthElectrons: 60,
    hotShare: 1e-3,
    hotElectrons: 2e4,
  },
  ...{
    skyElectrons: SKY_ELECTRONS,
    readNoiseElectrons: READ_NOISE_ELECTRONS,
    electronsPerAdu: GAIN,
    offsetAdu: OFFSET_ADU,
  },
})
export const EXPOSED = [card('EXPTIME', SUB_SECONDS), card('CCD-TEMP', -10)]
export const file = unsignedFile(adu, AXES, EXPOSED)
export const GZIP = { 'content-encoding': 'gzip' }
export const KNOWN = `?offsetAdu=${OFFSET_ADU}&electronsPerAdu=${GAIN}`

export function fillOf(value: number): Float64Array {
  return new Float64Array(SIDE_PX ** 2).fill(value)
}

export const frameHeader = (axes: number[]) => header(imageCards({ bitsPerSample: 16, axes }))

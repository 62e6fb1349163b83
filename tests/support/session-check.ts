// Sessions to check: the garden’s, sub by sub.

import type { z } from 'zod'
import type { SessionCheckAnswerSchema } from '../../src/contract/session-check-answer.ts'
import type { SessionCheckRequestSchema } from '../../src/contract/session-check.ts'
import { sessionCheck } from '../../src/routes/session-check/index.ts'
import { asker } from './ask.ts'

export type Answer = z.infer<typeof SessionCheckAnswerSchema>
export type Request = z.input<typeof SessionCheckRequestSchema>
export type Sub = Request['subs'][number]

export const send = await asker([sessionCheck])
export const ask = (body: object) => send<Answer>('/v1/session-check', body)

export const START = Date.UTC(2026, 10, 14, 21)
export const at = (seconds: number) => new Date(START + seconds * 1000).toISOString()

export const BASE = {
  camera: {
    readNoiseElectrons: 1.6,
    electronsPerAdu: 0.25,
    offsetAdu: 500,
    bitDepth: 16,
    fullWellElectrons: 16000,
    darkCurrent: { electronsPerPixelSecond: 0.002, atCelsius: -10, doublingCelsius: 6 },
    temperatureCelsius: -10,
  },
  sky: { electronsPerPixelSecond: 1 },
  target: { electronsPerPixelSecond: 0.1 },
  plan: { overheadSeconds: 6, subSeconds: 120, subLadderSeconds: [60, 120, 300] },
  goal: { snr: 30, per: 'pixel' },
} as const

/** Subs of two minutes, one every 126 s, of a sky of 1.003 electrons per second but for what a test changes. */
export function subs(count: number, change: (index: number) => Partial<Sub> = () => ({})): Sub[] {
  return Array.from({ length: count }, (_, index) => ({
    startedAt: at(index * 126),
    subSeconds: 120,
    backgroundAdu: 981 + (index % 2),
    relativeStarFlux: 1,
    relativeFwhm: 1,
    sensorCelsius: -10,
    ...change(index),
  }))
}

export const from = (start: number, change: Partial<Sub>) => (index: number) => (index >= start ? change : {})

export const names = ({ conditions }: Answer) => conditions.map(({ name }) => name)
export const said = ({ explanation }: Answer) => explanation.join(' ')

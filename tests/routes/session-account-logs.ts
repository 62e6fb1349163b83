// Logs for the tests of the account, and how to ask for one.

import t from 'tap'
import type { z } from 'zod'
import { buildApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import type { Problem } from '../../src/contract/problem.ts'
import type { SessionAccountAnswerSchema } from '../../src/contract/session-account.ts'
import { noiseBudget } from '../../src/routes/noise-budget/index.ts'
import { sessionAccount } from '../../src/routes/session-account/index.ts'

export type Answer = z.infer<typeof SessionAccountAnswerSchema>

export type Line = Record<string, string | number | boolean | undefined>

/** Everything in electrons. */
export const SETUP = {
  camera: { readNoiseElectrons: 1.5, darkCurrent: { electronsPerPixelSecond: 0.001, atCelsius: -10 } },
  sky: { electronsPerPixelSecond: 0.5 },
  target: { electronsPerPixelSecond: 0.05 },
  plan: { overheadSeconds: 6, interruptionsPerHour: 1 },
}

const START = Date.UTC(2026, 10, 21, 19, 40)

/** A sub so many minutes into the log. */
export const sub = (minutes: number, given: Line = {}): Line => ({
  startedAt: new Date(START + minutes * 60_000).toISOString(),
  subSeconds: 120,
  ...given,
})

/** A log whose subs all differ a little. */
export const log = (count: number): Line[] =>
  Array.from({ length: count }, (_, index) =>
    sub(index * 2.1, {
      backgroundElectronsPerPixelSecond: 0.5 + 0.01 * index,
      relativeStarFlux: Number((1 - 0.4 * Math.sin(index / 7) ** 2).toFixed(3)),
      sensorCelsius: -10 + (index % 3) / 10,
    }),
  )

const app = await buildApp({ endpoints: [sessionAccount, noiseBudget], config: readConfig({ LOG_LEVEL: 'silent' }) })
t.teardown(() => app.close())

export const raw = (url: string, payload: string | Buffer, type: string) =>
  app.inject({ method: 'POST', url, payload, headers: { 'content-type': type } })

async function answered({ url, payload, type }: { url: string; payload: string; type: string }) {
  const response = await raw(url, payload, type)
  const errors = (response.json<Problem>().errors ?? []).map(({ pointer, message }) => `${pointer}: ${message}`)
  return { status: response.statusCode, answer: response.json<Answer>(), errors }
}

export const ask = (body: object) =>
  answered({ url: sessionAccount.path, payload: JSON.stringify(body), type: 'application/json' })

export const askCsv = (setup: object, csv: string) =>
  answered({
    url: `${sessionAccount.path}?request=${encodeURIComponent(JSON.stringify(setup))}`,
    payload: csv,
    type: 'text/csv; charset=utf-8',
  })

export function filterOf({ filters }: Answer, index = 0): Answer['filters'][number] {
  const filter = filters[index]
  if (filter === undefined) throw new Error(`no filter ${index}`)
  return filter
}

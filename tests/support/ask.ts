// Questions asked over HTTP, without a socket.

import t from 'tap'
import { buildApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import type { Problem } from '../../src/contract/problem.ts'
import type { Endpoint } from '../../src/routes/endpoint.ts'

export interface Asked<Answer> {
  status: number
  /** What came back with status 200. */
  answer: Answer
  /** The errors of a problem, as `pointer: message`. */
  errors: string[]
}

/** Asks endpoints by path; the app behind them is closed after the test file. */
export async function asker(endpoints: readonly Endpoint[]) {
  const app = await buildApp({ endpoints, config: readConfig({ LOG_LEVEL: 'silent' }) })
  t.teardown(() => app.close())
  return async <Answer>(url: string, payload: object): Promise<Asked<Answer>> => {
    const response = await app.inject({ method: 'POST', url, payload })
    const problem = response.json<Problem>()
    const errors = (problem.errors ?? []).map(({ pointer, message }) => `${pointer}: ${message}`)
    return { status: response.statusCode, answer: response.json<Answer>(), errors }
  }
}

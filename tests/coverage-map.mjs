// Which sources a test file answers for. Only the engine is held to full coverage, each folder by the tests that mirror it.

import { readdirSync } from 'node:fs'

const engine = readdirSync('.build/src/engine', { recursive: true })
  .filter((name) => name.endsWith('.js'))
  .map((name) => `.build/src/engine/${name}`)

export default (test) => (test.includes('/engine/') ? engine : null)

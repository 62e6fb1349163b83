// Long logs take turns in one block of memory: nothing of one may show in another.

import t from 'tap'
import { sessionAccount } from '../../src/routes/session-account/index.ts'
import { askCsv, log, SETUP, type Line } from './session-account-logs.ts'

/** More than the columns hold that a log begins with. */
const SUBS = 17_000

const setup = {
  ...SETUP,
  camera: { ...SETUP.camera, readNoiseElectrons: { value: 1.5, standardUncertainty: 0.1 } },
  plan: { ...SETUP.plan, calibration: { darkFrames: 20, ditherPositions: 9 } },
  everySub: true,
}

const csvOf = (lines: readonly Line[]) => {
  const names = [...new Set(lines.flatMap((line) => Object.keys(line)))]
  return [names.join(','), ...lines.map((line) => names.map((name) => String(line[name] ?? '')).join(','))].join('\n')
}

const steady = csvOf(log(SUBS))
const spoiled = csvOf(
  log(SUBS + 900).map((line, index) => ({
    ...line,
    subSeconds: index % 3 === 0 ? 60 : 110,
    ...(index % 11 < 3 && { accepted: false, rejectedFor: 'a cloud' }),
  })),
)

void t.test('a log is accounted alike alone and after another', async (t) => {
  const alone = await askCsv(setup, steady)
  t.equal(alone.status, 200)
  const other = await askCsv(setup, spoiled)
  t.equal(other.status, 200)
  t.strictSame(await askCsv(setup, steady), alone)
  t.strictSame(await askCsv(setup, spoiled), other)
})

function readerOf(csv: string) {
  const reader = sessionAccount.list?.readCsv()
  if (reader === undefined) throw new Error('the account takes a list')
  reader.take(csv)
  return reader
}

void t.test('logs that have come before any is accounted keep apart', async (t) => {
  const question = JSON.parse(JSON.stringify(setup)) as typeof setup
  const alone = [await readerOf(steady).answer(question), await readerOf(spoiled).answer(question)]
  const [first, second] = [readerOf(steady), readerOf(spoiled)]
  const later = await second.answer(question)
  t.strictSame([await first.answer(question), later], alone)
})

void t.test('a log that is refused gives the memory back unharmed', async (t) => {
  const before = await askCsv(setup, spoiled)
  const refused = await askCsv({ ...setup, camera: { readNoiseElectrons: -1 } }, steady)
  t.equal(refused.status, 400)
  const without = await askCsv({ ...setup, target: undefined }, steady)
  t.not(without.status, 200)
  t.strictSame(await askCsv(setup, spoiled), before)
})

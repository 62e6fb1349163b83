// Long logs take turns in one block of memory: nothing of one may show in another.

import t from 'tap'
import { sessionAccount } from '../../src/routes/session-account/index.ts'
import { near } from '../support/near.ts'
import { askCsv, filterOf, log, SETUP, type Line } from './session-account-logs.ts'

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

const alone = await askCsv(setup, steady)
const other = await askCsv(setup, spoiled)

void t.test('a log is accounted alike alone and after another', async (t) => {
  t.equal(alone.status, 200)
  t.equal(other.status, 200)
  t.strictSame(await askCsv(setup, steady), alone)
})

void t.test('what is told of each sub is what the sums were made of', (t) => {
  for (const { answer } of [alone, other]) {
    const { subs, weighted, subCount } = filterOf(answer)
    const { lines = [], signalElectrons = [], varianceElectrons2 = [] } = subs ?? {}
    t.equal(new Set(lines).size, subCount, 'each line once')
    const information = signalElectrons.reduce((sum, a, index) => sum + a ** 2 / (varianceElectrons2[index] ?? NaN), 0)
    near(t, Math.sqrt(information), weighted.snrWithoutCalibration, 1e-9, 'Σ a²/v')
  }
  t.end()
})

function readerOf(csv: string) {
  const reader = sessionAccount.list?.readCsv()
  if (reader === undefined) throw new Error('the account takes a list')
  reader.take(csv)
  return reader
}

void t.test('logs that have come before any is accounted keep apart', async (t) => {
  const [first, second] = [readerOf(steady), readerOf(spoiled)]
  const question = structuredClone(setup)
  const told = (answer: unknown) => JSON.parse(JSON.stringify(answer)) as unknown
  t.strictSame(told(await second.answer(question)), other.answer)
  t.strictSame(told(await first.answer(question)), alone.answer)
})

void t.test('a log that is refused gives the memory back unharmed', async (t) => {
  const refused = await askCsv({ ...setup, camera: { readNoiseElectrons: -1 } }, steady)
  t.equal(refused.status, 400)
  const without = await askCsv({ ...setup, target: undefined }, steady)
  t.not(without.status, 200)
  t.strictSame(await askCsv(setup, spoiled), other)
})

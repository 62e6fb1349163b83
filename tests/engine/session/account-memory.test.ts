// What an account reckons in a block of memory that was used before is what it reckons in memory of its own.

import t from 'tap'
import {
  AccountSubs,
  bestWeights,
  clockOfSubs,
  ColumnMemory,
  heldBackBy,
  stackOf,
  subsToDrop,
  subTerms,
  termsWithout,
} from '../../../src/engine/index.ts'
import { pixelModel, REFERENCE, subAt, subsOfChance } from './models.ts'

const SUBS = 300
const MODEL = pixelModel({ calibration: { darkFrames: 4, ditherPositions: 3 }, masters: [0.3, 2] })
const TIME = {
  exposureSeconds: 36_000,
  cloudSeconds: 600,
  spellSeconds: 300,
  rejectedSeconds: 120,
  deadSeconds: 900,
  pauseSeconds: 1800,
}

function usedBlock(): ColumnMemory {
  const memory = new ColumnMemory(1e6)
  memory.within(() => memory.uint8(900_000).fill(255))
  return memory
}

function account(memory: ColumnMemory) {
  const chance = subsOfChance(51, SUBS, 2)
  const subs = new AccountSubs(SUBS, memory)
  for (let index = 0; index < SUBS; index++) subs.push(subAt(chance, index))
  const starts = Float64Array.from({ length: SUBS }, (_, index) => 140 * index + (index % 40 === 0 ? 0 : 6))
  const clocks = clockOfSubs(starts, subs.subSeconds, new Uint8Array(SUBS), memory)
  const terms = subTerms(subs, MODEL, {}, memory)
  const stack = stackOf(terms, MODEL)
  const weights = bestWeights(terms, stack, MODEL, memory)
  const kept = memory.usedBytes
  const work = subsToDrop(terms, MODEL, memory)
  let step = work.next()
  while (step.done !== true) step = work.next()
  const dropped = step.value
  const heldBack = heldBackBy({ subs, stack, model: MODEL, reference: REFERENCE, time: TIME, memory })
  t.equal(memory.usedBytes, kept, 'what was needed meanwhile is given back')
  const rest = termsWithout(terms, dropped, memory)
  return { dropped, heldBack, columns: [clocks, terms, weights, subs, rest].map((it) => JSON.stringify(it)) }
}

void t.test('in a block as without one', (t) => {
  const own = account(new ColumnMemory())
  t.ok(own.dropped.length > 10, `${own.dropped.length} dropped`)
  const block = usedBlock()
  t.strictSame(account(block), own)
  t.ok(block.usedBytes > 100 * SUBS, 'which was used')
  t.strictSame(account(new ColumnMemory(20 * SUBS)), own, 'nor where there is room for some of it')
  t.end()
})

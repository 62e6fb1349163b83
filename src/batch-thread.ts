// A thread that answers parts of batches. It knows the same endpoints and checks as the service, and nothing of HTTP.

import { move, transferableSymbol, valueSymbol } from 'piscina'
import { buildSlabAnswerer } from './plugins/batch/answer-slab.ts'
import type { Fault, Slab } from './plugins/batch/slab.ts'
import { TextBlock } from './plugins/batch/text-block.ts'
import { buildContractCheck } from './plugins/contract-check.ts'
import { endpoints } from './routes/index.ts'

const answerer = buildSlabAnswerer(endpoints, buildContractCheck())
const text = new TextBlock()

/** Answers one slab; the pool calls it. The bytes change hands without being copied. */
export default function answer(slab: Slab): unknown {
  const faults: Fault[] = []
  for (const line of answerer(slab, faults)) text.add(line)
  const bytes = text.take()
  return move({ [transferableSymbol]: [bytes.buffer], [valueSymbol]: { bytes, faults } })
}

// A thread that answers parts of batches. It knows the same endpoints and checks as the service, and nothing of HTTP.

import { move, transferableSymbol, valueSymbol, workerData } from 'piscina'
import { buildSlabAnswerer } from './plugins/batch/answer-slab.ts'
import type { Fault, Slab } from './plugins/batch/slab.ts'
import { TextBlock } from './plugins/batch/text-block.ts'
import { buildContractCheck, type ContractCheck } from './plugins/contract-check.ts'
import { endpoints } from './routes/index.ts'

const answerer = buildSlabAnswerer(endpoints, buildContractCheck(workerData as ContractCheck['schemas']))

/** Answers one slab; the pool calls it. The block changes hands, there and back, without being copied. */
export default function answer({ slab, block }: { slab: Slab; block: ArrayBuffer }): unknown {
  const text = new TextBlock(block)
  const faults: Fault[] = []
  for (const line of answerer(slab, faults)) text.add(line)
  const { bytes } = text
  return move({ [transferableSymbol]: [bytes.buffer], [valueSymbol]: { bytes, faults } })
}

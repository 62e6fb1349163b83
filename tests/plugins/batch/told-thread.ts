// A thread that does as its slab says, for the tests of who answers and who ends it.

import { move, transferableSymbol, valueSymbol } from 'piscina'

export default function answer({ slab, block }: { slab: { bytes: Uint8Array }; block: ArrayBuffer }): unknown {
  const told = Buffer.from(slab.bytes).toString()
  for (; told === 'go on for ever';);
  if (told === 'die') process.exit(1)
  const bytes = new Uint8Array(block, 0, 1).fill('t'.charCodeAt(0))
  return move({ [transferableSymbol]: [block], [valueSymbol]: { bytes, faults: [] } })
}

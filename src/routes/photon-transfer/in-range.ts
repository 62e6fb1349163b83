// What frames come to must be what the JSON form of the question takes: headers may say anything.

import { PhotonTransferRequestSchema } from '../../contract/photon-transfer.ts'
import type { Notes } from '../../setup/notes.ts'
import type { MeasuredLadder } from './request.ts'

/** @throws {ProblemError} `no-answer` naming every part whose figures are out of range */
export function requireInRange({ request, levelPointers, darkPointers }: MeasuredLadder, notes: Notes): void {
  const { error } = PhotonTransferRequestSchema.safeParse(request)
  for (const { path, ...issue } of error?.issues ?? []) {
    const [list, index] = path
    const pointers = list === 'levels' ? levelPointers : darkPointers
    const given = path.reduce<unknown>((value, step) => (value as Record<PropertyKey, unknown>)[step], request)
    const pointer = pointers[Number(index)] ?? (list === 'levels' ? '/flat' : '/dark')
    notes.contradictory(pointer, `its \`${String(path.at(-1))}\` comes to ${String(given)}${allowed(issue)}`)
  }
  notes.settle()
}

function allowed(issue: object): string {
  if ('maximum' in issue && typeof issue.maximum === 'number') return `; allowed: at most ${issue.maximum}`
  return 'minimum' in issue && typeof issue.minimum === 'number' ? `; allowed: at least ${issue.minimum}` : ''
}

// What a ladder must hold before anything can be computed from it.

import type { Notes } from '../../setup/notes.ts'
import type { Ladder } from './request.ts'

/** Names what is given for some entries only, flats that are no flats, levels that the converter cannot count to, and darks of one length. */
export function checkLadder(ladder: Ladder, bitDepth: number | undefined, notes: Notes): void {
  const { levels, darks = [], pointer } = ladder
  checkAllOrNone(`${pointer}/levels`, 'pixelCount', levels, notes)
  checkAllOrNone(`${pointer}/levels`, 'clippedShare', levels, notes)
  checkAllOrNone(`${pointer}/darks`, 'pixelCount', darks, notes)
  if (darks.length > 0 && darks.every(({ subSeconds }) => subSeconds === darks[0]?.subSeconds)) {
    notes.broken(`${pointer}/darks`, 'all of one exposure; a dark current takes two or more')
  }
  checkBrighter(ladder, notes)
  if (bitDepth === undefined) return
  const highest = 2 ** bitDepth - 1
  for (const [index, { meanAdu }] of levels.entries()) {
    if (meanAdu <= highest) continue
    notes.contradictory(
      `${pointer}/levels/${index}/meanAdu`,
      `${meanAdu} ADU lies above the ${highest} ADU that ${bitDepth} bits count to`,
    )
  }
}

function checkBrighter({ levels, pointer }: Ladder, notes: Notes): void {
  for (const [index, { meanAdu, darkMeanAdu }] of levels.entries()) {
    if (meanAdu >= darkMeanAdu) continue
    notes.contradictory(
      `${pointer}/levels/${index}/meanAdu`,
      `a flat of ${meanAdu} ADU is darker than its dark or bias of ${darkMeanAdu} ADU: were the two swapped?`,
    )
  }
}

function checkAllOrNone<Name extends string>(
  pointer: string,
  name: Name,
  entries: readonly Partial<Record<Name, number | undefined>>[],
  notes: Notes,
): void {
  const lacking = entries.flatMap((entry, index) => (entry[name] === undefined ? [index] : []))
  if (lacking.length === entries.length) return
  for (const index of lacking) {
    notes.missing(`${pointer}/${index}/${name}`, 'others have it; give it for every entry or for none')
  }
}

// Rules across the fields of the subs.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import type { CameraSetup } from '../../setup/camera.ts'
import { lowestBackgroundAdu } from '../../setup/lowest-background.ts'
import type { Notes } from '../../setup/notes.ts'
import { isSaid, type SubColumns, type SubTable } from './sub-table.ts'

const MOST_POINTERS = 40

/**
 * Names what subs say twice, what the camera must tell for them, and what it contradicts.
 *
 * @param adu  background of each sub in ADU, by whichever name
 */
export function checkSubs({ columns }: SubTable, adu: Float64Array, camera: CameraSetup, notes: Notes): void {
  const { electronsPerAdu, offsetAdu, modes } = camera
  if (isSaid(adu)) {
    const why = 'needed to turn a background in ADU into electrons'
    if (electronsPerAdu === undefined) notes.missing('/camera/electronsPerAdu', why)
    if (offsetAdu === undefined) notes.missing('/camera/offsetAdu', why)
  }
  const readNoiseElectrons = Math.max(...modes.map(({ readout }) => readout.readNoiseElectrons))
  // Without gain or offset, which are asked for then, nothing is compared.
  const lowest = lowestBackgroundAdu({
    readNoiseElectrons,
    electronsPerAdu: electronsPerAdu ?? NaN,
    offsetAdu: offsetAdu ?? NaN,
  })
  const doubles = doublesIn(columns, adu)
  let named = 0
  for (let index = 0; index < adu.length; index++) {
    for (let double = 0; double < doubles.length; double++) {
      const { name, beside, first, second } = doubles[double]!
      if (Number.isNaN(first[index]) || Number.isNaN(second?.[index])) continue
      if (named++ < MOST_POINTERS)
        notes.broken(`/subs/${index}/${name}`, `stands beside ${beside}; give one of the two`)
    }
    const level = adu[index]!
    if (level < lowest && named++ < MOST_POINTERS) {
      const name = Number.isNaN(columns.backgroundAdu[index]) ? 'frame/background/adu' : 'backgroundAdu'
      notes.contradictory(`/subs/${index}/${name}`, `${level} ADU lies below the offset of ${offsetAdu ?? 0} ADU`)
    }
  }
}

/** Fields that say the same; the other one is in the same sub, or in any. */
interface Double {
  name: string
  beside: string
  first: Float64Array
  second?: Float64Array
}

/** What may be said twice in these subs, in the order in which it is named. */
function doublesIn(columns: SubColumns, adu: Float64Array): Double[] {
  const { frameAdu, clippedShare, frameClippedShare, fwhmArcsec } = columns
  const rate = columns.backgroundElectronsPerPixelSecond
  const found: Double[] = []
  if (isSaid(frameAdu)) {
    found.push({ name: 'frame', beside: 'backgroundAdu', first: frameAdu, second: columns.backgroundAdu })
    found.push({ name: 'clippedShare', beside: 'that of the frame', first: frameClippedShare, second: clippedShare })
  }
  if (isSaid(rate)) {
    const name = 'backgroundElectronsPerPixelSecond'
    found.push({ name, beside: 'a background in ADU', first: rate, second: adu })
  }
  if (isSaid(fwhmArcsec) && isSaid(columns.relativeFwhm)) {
    found.push({ name: 'fwhmArcsec', beside: 'relativeFwhm (of any sub)', first: fwhmArcsec })
  }
  return found
}

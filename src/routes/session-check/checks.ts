// Rules across the fields of the subs.

import type { CameraSetup } from '../../setup/camera.ts'
import { lowestBackgroundAdu } from '../../setup/lowest-background.ts'
import type { Notes } from '../../setup/notes.ts'
import type { Request, SubRequest } from './request.ts'

const MOST_POINTERS = 40

/** Names what subs say twice, what the camera must tell for them, and what it contradicts. */
export function checkSubs({ subs }: Request, camera: CameraSetup, notes: Notes): void {
  const { electronsPerAdu, offsetAdu, modes } = camera
  if (subs.some((sub) => aduOf(sub) !== undefined)) {
    const why = 'needed to turn a background in ADU into electrons'
    if (electronsPerAdu === undefined) notes.missing('/camera/electronsPerAdu', why)
    if (offsetAdu === undefined) notes.missing('/camera/offsetAdu', why)
  }
  const relative = subs.some(({ relativeFwhm }) => relativeFwhm !== undefined)
  const readNoiseElectrons = Math.max(...modes.map(({ readout }) => readout.readNoiseElectrons))
  // Without gain or offset, which are asked for then, nothing is compared.
  const lowest = lowestBackgroundAdu({
    readNoiseElectrons,
    electronsPerAdu: electronsPerAdu ?? NaN,
    offsetAdu: offsetAdu ?? NaN,
  })
  let named = 0
  subs.forEach((sub, index) => {
    const at = (name: string) => `/subs/${index}/${name}`
    for (const { name, beside } of doubles(sub, relative)) {
      if (named++ < MOST_POINTERS) notes.broken(at(name), `stands beside ${beside}; give one of the two`)
    }
    const adu = aduOf(sub) ?? Infinity
    if (adu < lowest && named++ < MOST_POINTERS) {
      const name = sub.backgroundAdu === undefined ? 'frame/background/adu' : 'backgroundAdu'
      notes.contradictory(at(name), `${adu} ADU lies below the offset of ${offsetAdu ?? 0} ADU`)
    }
  })
}

/** Background of a sub in ADU, by whichever name. */
export function aduOf({ backgroundAdu, frame }: SubRequest): number | undefined {
  return backgroundAdu ?? frame?.background.adu
}

interface Double {
  name: string
  beside: string
}

const NONE: readonly Double[] = []

/** Fields of a sub that say what another says too. */
function doubles(sub: SubRequest, relative: boolean): readonly Double[] {
  const { frame, backgroundAdu, backgroundElectronsPerPixelSecond: rate, clippedShare, fwhmArcsec } = sub
  if (frame === undefined && rate === undefined && fwhmArcsec === undefined) return NONE
  const found: Double[] = []
  if (frame !== undefined && backgroundAdu !== undefined) found.push({ name: 'frame', beside: 'backgroundAdu' })
  if (frame !== undefined && (frame.clippedShare ?? null) !== null && clippedShare !== undefined) {
    found.push({ name: 'clippedShare', beside: 'that of the frame' })
  }
  if (rate !== undefined && aduOf(sub) !== undefined) {
    found.push({ name: 'backgroundElectronsPerPixelSecond', beside: 'a background in ADU' })
  }
  if (fwhmArcsec !== undefined && relative) found.push({ name: 'fwhmArcsec', beside: 'relativeFwhm (of any sub)' })
  return found
}

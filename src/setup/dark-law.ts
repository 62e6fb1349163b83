// How the dark current of a request's camera follows temperature, and how far its cooler gets.

import type { DarkCurrentLaw } from '../engine/index.ts'
import type { CameraRequest } from './camera.ts'
import type { Notes } from './notes.ts'
import { COMMON_PRACTICE, TYPICAL_CAMERAS } from './typical.ts'

/** Law for one pixel of the frame, from what is given or typical of the class; null where neither tells. */
export function darkLawOf(camera: CameraRequest): DarkCurrentLaw | null {
  const { darkCurrent, like, binning = 1 } = camera
  const reference = darkCurrent ?? typicalReference(like)
  if (reference === null) return null
  return {
    reference: {
      electronsPerPixelSecond: reference.electronsPerPixelSecond * binning ** 2,
      atCelsius: reference.atCelsius,
    },
    ...(reference.doublingCelsius !== undefined && { doublingCelsius: reference.doublingCelsius }),
  }
}

function typicalReference(like: CameraRequest['like']): NonNullable<CameraRequest['darkCurrent']> | null {
  if (like === undefined) return null
  const typical = TYPICAL_CAMERAS[like]
  return {
    electronsPerPixelSecond: typical.darkCurrentElectronsPerPixelSecond.typical,
    atCelsius: typical.darkCurrentAtCelsius,
  }
}

/** Sources of the law in use. */
export function citeDarkLaw(law: DarkCurrentLaw, notes: Notes): void {
  notes.cite(
    'Janesick 2001 and Varshni 1967: depletion dark current of silicon, normalised at the reference',
    'Widenhorn et al. 2002, Proc. SPIE 4669, 193: temperature dependence of dark current',
  )
  if (law.doublingCelsius !== undefined) notes.cite('EMVA 1288 doubling law of dark current')
}

/** How far below the air the cooler gets; null without one. */
export function coolerReachOf(camera: CameraRequest, notes: Notes): number | null {
  if (camera.cooler !== undefined) return camera.cooler.reachCelsius
  if (camera.like === undefined) return null
  const reach = TYPICAL_CAMERAS[camera.like].coolerReachCelsius
  if (reach === null) return null
  return notes.assume('/camera/cooler/reachCelsius', reach, `typical of ${camera.like} (${COMMON_PRACTICE})`)
}

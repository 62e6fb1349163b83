// The sky as the request gives it: a brightness that the engine turns into electrons, or electrons as measured.

import type { z } from 'zod'
import type { Plain } from '../contract/fields.ts'
import { SKY_FORMS, type SkySchema } from '../contract/sky.ts'
import {
  DEFAULT_LAMP_SHARES,
  LAMP_NAMES,
  magPerArcsec2OfNakedEyeLimit,
  magPerArcsec2OfSkyClass,
  type LampShares,
  type Sky,
} from '../engine/index.ts'
import type { CameraSetup } from './camera.ts'
import type { Notes } from './notes.ts'
import { COMMON_PRACTICE } from './typical.ts'

export type SkyRequest = Plain<z.infer<typeof SkySchema>>

/** A sky by its brightness, or by what was counted on a pixel of the frame. */
export type SkySetup =
  | { form: 'brightness'; model: Sky }
  | { form: 'electrons'; electronsPerPixelSecond: number; model: Omit<Sky, 'moonlessMagPerArcsec2'> }

/** The darkest sky that is believed: La Palma at solar minimum (Benn & Ellison 1998) is 21.9, the usual maps call 22.0 natural. */
const DARKEST_MAG = 22

/** True when the sky needs photons, and with them the camera's efficiency and the optics, to become electrons. */
export function skyNeedsPhotons(sky: SkyRequest): boolean {
  return sky.electronsPerPixelSecond === undefined && sky.measured === undefined
}

/** Names a sky given in no form, or in two. */
export function checkSkyForm(sky: SkyRequest, notes: Notes): void {
  const given = SKY_FORMS.filter((form) => sky[form] !== undefined)
  if (given.length === 0) notes.missing('/sky', `give one of ${SKY_FORMS.join(', ')}`)
  if (given.length > 1) {
    for (const form of given)
      notes.broken(`/sky/${form}`, `${given.length} skies at once; give only one of ${given.join(', ')}`)
  }
}

/** Resolves the sky; settle the notes before any of it is used. */
export function resolveSky(sky: SkyRequest, camera: CameraSetup | null, photons: boolean, notes: Notes): SkySetup {
  checkSkyForm(sky, notes)
  const conditions = resolveConditions(sky, photons, notes)
  if (sky.electronsPerPixelSecond !== undefined) {
    return { form: 'electrons', electronsPerPixelSecond: sky.electronsPerPixelSecond, model: conditions }
  }
  if (sky.measured !== undefined) {
    return { form: 'electrons', electronsPerPixelSecond: measuredRate(sky.measured, camera, notes), model: conditions }
  }
  return {
    form: 'brightness',
    model: Object.assign(conditions, { moonlessMagPerArcsec2: moonlessBrightness(sky, notes) }),
  }
}

function moonlessBrightness(sky: SkyRequest, notes: Notes): number {
  if (sky.magPerArcsec2 !== undefined) return sky.magPerArcsec2
  if (sky.bortleClass !== undefined) {
    const mag = magPerArcsec2OfSkyClass(sky.bortleClass)
    notes.cite(
      'Bortle 2001, Sky & Telescope, February 2001 (classes; their brightness in mag/arcsec² is common practice)',
    )
    return notes.assume('/sky/magPerArcsec2', mag, `middle of class ${sky.bortleClass} (${COMMON_PRACTICE})`)
  }
  // No form at all is in the notes already, and settling them ends the request.
  if (sky.nakedEyeLimitMag === undefined) return NaN
  const mag = magPerArcsec2OfNakedEyeLimit(sky.nakedEyeLimitMag)
  notes.cite('Schaefer 1990, PASP 102, 212: naked-eye limit and sky brightness')
  if (mag <= DARKEST_MAG) return notes.assume('/sky/magPerArcsec2', mag, 'from the naked-eye limit, Schaefer 1990')
  return notes.assume(
    '/sky/magPerArcsec2',
    DARKEST_MAG,
    `a limit of ${sky.nakedEyeLimitMag} mag is a keen observer’s: the formula asks for ${mag.toFixed(1)}, darker than any natural sky`,
  )
}

function resolveConditions(sky: SkyRequest, photons: boolean, notes: Notes): Omit<Sky, 'moonlessMagPerArcsec2'> {
  const assume = <Value>(pointer: string, value: Value, reason: string) =>
    photons ? notes.assume(pointer, value, reason) : value
  return {
    lamps: lampsOf(sky, notes) ?? assume('/sky/lamps', DEFAULT_LAMP_SHARES, `a mixed town (${COMMON_PRACTICE})`),
    targetAltitudeDegrees:
      sky.targetAltitudeDegrees ?? assume('/sky/targetAltitudeDegrees', 90, 'not given: the zenith'),
    extinctionMagPerAirmass:
      sky.extinctionMagPerAirmass ?? assume('/sky/extinctionMagPerAirmass', 0.28, 'not given: sea level, Green 1992'),
    moon: sky.moon,
  }
}

/** The lamps named, without those left out; undefined when none is named. */
function lampsOf({ lamps }: SkyRequest, notes: Notes): LampShares | undefined {
  if (lamps === undefined) return undefined
  const named: LampShares = {}
  for (const lamp of LAMP_NAMES) {
    const share = lamps[lamp]
    if (share !== undefined) named[lamp] = share
  }
  if (Object.values(named).every((share) => share === 0)) {
    notes.broken('/sky/lamps', 'name at least one lamp with a share above 0, or leave `lamps` out')
  }
  return named
}

function measuredRate(
  measured: { backgroundAdu: number; subSeconds: number },
  camera: CameraSetup | null,
  notes: Notes,
): number {
  const why = 'needed to turn the measured background into electrons'
  const gain = camera?.electronsPerAdu ?? notes.missing('/camera/electronsPerAdu', why)
  const offset = camera?.offsetAdu ?? notes.missing('/camera/offsetAdu', why)
  const dark = camera?.darkElectronsPerPixelSecond ?? 0
  const rate = ((measured.backgroundAdu - offset) * gain) / measured.subSeconds - dark
  if (rate < 0) {
    const floor = offset + (dark * measured.subSeconds) / gain
    notes.contradictory(
      '/sky/measured/backgroundAdu',
      `${measured.backgroundAdu} ADU lies below the ${floor.toFixed(1)} ADU that offset and dark current alone reach`,
    )
  }
  return rate
}

// The cautions that go with the work, not with the arithmetic.

import type { Notes } from './notes.ts'
import type { CameraSetup } from './camera.ts'

const SKY_DECIDES = 'A model advises, the sky decides: look at the first subs before you trust the rest.'

const CONDENSATION =
  'A sensor this cold stands below the dew point on most nights: dry air or a heated window keeps water and ice off it.'

const MAINS =
  'Cooling takes power: mains power outdoors follows your local electrical code, through a residual-current device, installed by a licensed electrician.'

/** Below this a sensor is colder than the dew point of almost any night at which water is liquid. */
const FROST_CELSIUS = 0

/** Adds the cautions that a set-up calls for. */
export function cautionSetup(
  scene: { camera: Pick<CameraSetup, 'temperatureCelsius' | 'cooled'> },
  notes: Notes,
): void {
  notes.caution(SKY_DECIDES)
  const { temperatureCelsius, cooled } = scene.camera
  // Without a cooler a sensor is warmer than the air, however cold that is.
  const isCold = temperatureCelsius !== undefined && temperatureCelsius <= FROST_CELSIUS
  if (isCold && cooled !== false) notes.caution(CONDENSATION)
  if (cooled === true) notes.caution(MAINS)
}

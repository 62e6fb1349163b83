import type { LightPath } from '../../../src/engine/light/channels.ts'
import { channelsOf } from '../../../src/engine/light/channels.ts'
import type { Filter } from '../../../src/engine/light/filter-bands.ts'
import type { Response } from '../../../src/engine/light/response.ts'
import type { Sky } from '../../../src/engine/light/sky.ts'

/** Response of one colour plane of a light path. */
export function planeResponse(path: LightPath, channel = 'mono'): Response {
  const plane = channelsOf(path).find((candidate) => candidate.channel === channel)
  if (plane === undefined) throw new Error(`no ${channel} plane`)
  return plane.response
}

/** Response of a mono camera with flat QE and optics behind a filter. */
export function monoResponse(filter: Filter, quantumEfficiency = 1, opticsTransmission = 1): Response {
  return planeResponse({ color: 'mono', quantumEfficiency, opticsTransmission, filter, infraredBlocker: 'none' })
}

/** A moonless sky at the zenith, lit by white LEDs. */
export function zenithSky(moonlessMagPerArcsec2: number): Sky {
  return {
    moonlessMagPerArcsec2,
    lamps: { 'led-4100k': 1 },
    targetAltitudeDegrees: 90,
    extinctionMagPerAirmass: 0.2,
  }
}

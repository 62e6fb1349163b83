// Subs of the request as records of the engine.

import { orderRecords, type OrderedRecords, type SubRecord } from '../../engine/index.ts'
import type { CameraSetup } from '../../setup/camera.ts'
import { epochReader } from '../../setup/epoch.ts'
import type { Notes } from '../../setup/notes.ts'
import { aduOf, checkSubs } from './checks.ts'
import type { FilterRequest, Request, SubRequest } from './request.ts'

/** A record that knows its place in the request. */
export interface Record extends SubRecord {
  index: number
}

/** From this share of clipped pixels on, the background itself clips in part of the frame. */
const CLIPPED_SHARE = 0.1

/** A background this near to what a pixel holds or the converter counts to, as a share of it, is at the top. */
const TOP_SHARE = 0.995

/** Records in order of time; what contradicts itself or the camera goes to the notes. */
export function recordsOf(
  request: Request,
  filters: readonly FilterRequest[],
  camera: CameraSetup,
  notes: Notes,
): OrderedRecords<Record> {
  checkSubs(request, camera, notes)
  const places = new Map(filters.map(({ label }, index) => [label, index]))
  // A label that is not the session's gets a place behind its filters, so that its sky stays apart.
  const placeOf = (label: string | undefined) => {
    if (label === undefined) return 0
    const place = places.get(label) ?? places.size
    places.set(label, place)
    return place
  }
  const top = TOP_SHARE * Math.max(...camera.modes.map(({ usableWellElectrons }) => usableWellElectrons ?? Infinity))
  const epochSeconds = epochReader()
  const records = request.subs.map((sub, index): Record => {
    const backgroundAdu = aduOf(sub)
    const rate = electronsPerSecond(sub, backgroundAdu, camera)
    const clippedShare = sub.clippedShare ?? sub.frame?.clippedShare ?? 0
    return {
      index,
      startSeconds: epochSeconds(sub.startedAt),
      subSeconds: sub.subSeconds,
      filter: placeOf(sub.filter),
      electronsPerSecond: rate,
      clipped: clippedShare >= CLIPPED_SHARE || (rate ?? 0) * sub.subSeconds >= top,
      sensorCelsius: sub.sensorCelsius ?? null,
      starFlux: sub.relativeStarFlux ?? null,
      fwhm: sub.relativeFwhm ?? sub.fwhmArcsec ?? null,
      guidingErrorArcsec: sub.guidingErrorArcsec ?? null,
      accepted: sub.accepted ?? true,
    }
  })
  return orderRecords(records)
}

function electronsPerSecond(
  { subSeconds, backgroundElectronsPerPixelSecond }: SubRequest,
  backgroundAdu: number | undefined,
  { electronsPerAdu = NaN, offsetAdu = NaN }: CameraSetup,
): number | null {
  if (backgroundAdu === undefined) return backgroundElectronsPerPixelSecond ?? null
  return ((backgroundAdu - offsetAdu) * electronsPerAdu) / subSeconds
}

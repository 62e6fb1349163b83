// Subs of the request in the engine's terms.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { orderSubs, type OrderedSubs } from '../../engine/index.ts'
import type { CameraSetup } from '../../setup/camera.ts'
import type { Notes } from '../../setup/notes.ts'
import { checkSubs } from './checks.ts'
import type { FilterRequest, Request } from './request.ts'
import { eitherOf, type SubColumns, type SubTable } from './sub-table.ts'

/** From this share of clipped pixels on, the background itself clips in part of the frame. */
const CLIPPED_SHARE = 0.1

/** A background this near to what a pixel holds or the converter counts to, as a share of it, is at the top. */
const TOP_SHARE = 0.995

/** Subs in order of time; what contradicts itself or the camera goes to the notes. */
export function measuredSubs(
  { subs: table }: Pick<Request, 'subs'>,
  filters: readonly FilterRequest[],
  camera: CameraSetup,
  notes: Notes,
): OrderedSubs {
  const { columns } = table
  const adu = eitherOf(columns.backgroundAdu, columns.frameAdu)
  checkSubs(table, adu, camera, notes)
  const electronsPerSecond = rates(columns, adu, camera)
  return orderSubs({
    index: places(table.count),
    startSeconds: columns.startSeconds,
    subSeconds: columns.subSeconds,
    filter: filterPlaces(table, filters),
    electronsPerSecond,
    isClipped: clipped(columns, electronsPerSecond, camera),
    sensorCelsius: columns.sensorCelsius,
    starFlux: columns.relativeStarFlux,
    fwhm: eitherOf(columns.relativeFwhm, columns.fwhmArcsec),
    guidingErrorArcsec: columns.guidingErrorArcsec,
    isAccepted: columns.accepted,
  })
}

function places(count: number): Float64Array {
  const index = new Float64Array(count)
  for (let at = 0; at < count; at++) index[at] = at
  return index
}

function filterPlaces({ columns, labels }: SubTable, filters: readonly FilterRequest[]): Float64Array {
  const places = new Map(filters.map(({ label }, index) => [label, index]))
  // A label that is not the session's gets a place behind its filters, so that its sky stays apart.
  const placeOfLabel = labels.map((label) => {
    const place = places.get(label) ?? places.size
    places.set(label, place)
    return place
  })
  const filter = new Float64Array(columns.filter.length)
  if (labels.length > 0) for (let at = 0; at < filter.length; at++) filter[at] = placeOfLabel[columns.filter[at]!] ?? 0
  return filter
}

/** Without gain or offset, which are asked for then, backgrounds in ADU are none. */
function rates(
  { subSeconds, backgroundElectronsPerPixelSecond }: SubColumns,
  adu: Float64Array,
  { electronsPerAdu = 0, offsetAdu = 0 }: CameraSetup,
): Float64Array {
  const electronsPerSecond = backgroundElectronsPerPixelSecond.slice()
  for (let at = 0; at < adu.length; at++) {
    const level = adu[at]!
    if (!Number.isNaN(level)) electronsPerSecond[at] = ((level - offsetAdu) * electronsPerAdu) / subSeconds[at]!
  }
  return electronsPerSecond
}

function clipped(columns: SubColumns, electronsPerSecond: Float64Array, { modes }: CameraSetup): Float64Array {
  const top = TOP_SHARE * Math.max(...modes.map(({ usableWellElectrons }) => usableWellElectrons ?? Infinity))
  const share = eitherOf(columns.clippedShare, columns.frameClippedShare)
  const isClipped = new Float64Array(share.length)
  for (let at = 0; at < isClipped.length; at++) {
    isClipped[at] = Number(share[at]! >= CLIPPED_SHARE || electronsPerSecond[at]! * columns.subSeconds[at]! >= top)
  }
  return isClipped
}

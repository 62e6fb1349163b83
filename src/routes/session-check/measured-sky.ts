// The sky that a session expects where nobody said: what its first subs measured.

import { medianOf, valueAt, type SessionSubs } from '../../engine/index.ts'
import type { CameraSetup } from '../../setup/camera.ts'
import type { Notes } from '../../setup/notes.ts'
import type { SceneRequest } from '../../setup/scene.ts'
import type { FilterRequest } from './request.ts'

/** A filter whose sky is known. */
export type FilterWithSky = Omit<FilterRequest, 'scene'> & { scene: SceneRequest }

/** Subs whose median is the sky that the plan is taken to expect. */
const FIRST_SUBS = 5

const NO_SKY =
  'The first subs show no sky above offset and dark current, and none is counted: the length is then advised as if there were none. Measure the offset on a bias frame, or give the sky.'

/** Fills in the sky of every filter that has none. */
export function withSkies(
  filters: readonly FilterRequest[],
  subs: SessionSubs,
  camera: CameraSetup,
  notes: Notes,
): FilterWithSky[] {
  return filters.map((filter, index) => {
    const { sky = measuredSky(filter, index, { subs, camera, notes }) } = filter.scene
    return { ...filter, scene: { ...filter.scene, sky } }
  })
}

function measuredSky(
  { skyPointer }: FilterRequest,
  index: number,
  { subs, camera, notes }: { subs: SessionSubs; camera: CameraSetup; notes: Notes },
): SceneRequest['sky'] {
  const rates: number[] = []
  const { filter, electronsPerSecond } = subs
  for (let at = 0; at < filter.length && rates.length < FIRST_SUBS; at++) {
    const rate = valueAt(electronsPerSecond, at)
    if (filter[at] === index && !Number.isNaN(rate)) rates.push(rate)
  }
  if (rates.length === 0) {
    notes.missing(skyPointer, 'give the sky, or the background of at least one sub through this filter')
    return { electronsPerPixelSecond: 0 }
  }
  const measured = medianOf(rates) - camera.darkElectronsPerPixelSecond
  if (measured <= 0) notes.caution(NO_SKY)
  const sky = Math.max(0, measured)
  const reason = `not given: what the first ${rates.length === 1 ? 'sub' : `${rates.length} subs`} measured`
  return { electronsPerPixelSecond: notes.assume(`${skyPointer}/electronsPerPixelSecond`, sky, reason) }
}

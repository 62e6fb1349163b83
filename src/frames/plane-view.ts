// One plane of a picture with its background.

import type { Samples } from '../fits/index.ts'
import type { BackgroundMap } from './background-map.ts'
import { planeSamples } from './picture.ts'
import type { SharedPicture } from './picture.ts'

export interface PlaneView {
  samples: Samples
  widthPx: number
  heightPx: number
  /** The sample that stands for a missing pixel; NaN, which nothing equals, for none. */
  blank: number
  background: BackgroundMap
}

export function viewPlane(picture: SharedPicture, plane: number, background: BackgroundMap): PlaneView {
  const { widthPx, heightPx, blankSample } = picture.layout.image
  return { samples: planeSamples(picture, plane), widthPx, heightPx, blank: blankSample ?? Number.NaN, background }
}

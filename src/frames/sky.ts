// What lies on the sky, and the sky itself: stars first, then the background between them.

import { BackgroundMap } from './background-map.ts'
import { blockBackgrounds } from './background.ts'
import { gradientOf, skyLevel, skyNoise } from './gradient.ts'
import type { Gradient } from './gradient.ts'
import { isSharp } from './hot-pixels.ts'
import { joinOutstanding, sortOut } from './outstanding.ts'
import type { Outstanding } from './outstanding.ts'
import { channelsOf, detectionChannelOf, planeMesh } from './picture.ts'
import type { Channel, PictureLayout, SharedPicture } from './picture.ts'
import { viewPlane } from './plane-view.ts'
import type { PlaneView } from './plane-view.ts'
import { StarMask } from './star-mask.ts'
import { starPeaks } from './star-peaks.ts'
import type { StarPeak } from './star-peaks.ts'
import { measureStars } from './stars.ts'
import type { MeasuredStars } from './stars.ts'

/** What lies on the sky, and the sky of every channel; none where the frame is too small for blocks. */
export interface Sky {
  hotPixelCount: number
  stars: MeasuredStars
  backgrounds: ReadonlyMap<Channel, Background>
}

/** Without blocks that are free of stars a channel has neither level nor noise. */
interface Background {
  gradient?: Gradient | undefined
  level?: number | undefined
  noise?: number | undefined
}

const NO_STARS: MeasuredStars = {
  count: 0,
  clippedCount: 0,
  measuredCount: 0,
  fwhmPx: null,
  eccentricity: null,
  brightest: [],
}

export function measureSky(picture: SharedPicture, outstanding: Outstanding, clippedFrom: number): Sky {
  const { layout } = picture
  const { plane, positions } = detectionChannelOf(layout)
  const view = planeView(picture, plane)
  if (view.background.isEmpty) return { hotPixelCount: 0, stars: NO_STARS, backgrounds: new Map() }
  const bright = joinOutstanding([outstanding, sortOut(view, outstanding.undecided)])
  const peaks = starPeaks(bright, layout.image.widthPx >> 1)
  const found = peaks.filter((peak) => !isSharp(view, peak))
  const stars = measureStars({ plane: view, positions, saturationSample: clippedFrom }, found)
  const backgrounds = backgroundsOf(picture, { view, plane, mask: maskOf(layout, peaks, stars) })
  return { hotPixelCount: bright.hotPixelCount, stars, backgrounds }
}

function backgroundsOf(
  picture: SharedPicture,
  { view, plane, mask }: { view: PlaneView; plane: number; mask: StarMask },
): Map<Channel, Background> {
  const { layout } = picture
  const planes = Array.from({ length: layout.image.planeCount }, (_, index) =>
    index === plane ? view : planeView(picture, index),
  )
  const blocks = planes.map((one) => (one.background.isEmpty ? [] : blockBackgrounds(one, layout, mask)))
  return new Map(
    channelsOf(layout).map(({ channel, plane: of, positions }) => {
      const gradient = gradientOf(blocks[of] ?? [], positions)
      const level = skyLevel(blocks[of] ?? [], positions, gradient)
      return [channel, { gradient, level, noise: skyNoise(blocks[of] ?? [], positions) }]
    }),
  )
}

function planeView(picture: SharedPicture, plane: number): PlaneView {
  return viewPlane(picture, plane, new BackgroundMap(picture.layout, planeMesh(picture, plane)))
}

/** Width of stars that is assumed for the mask where none could be measured. */
const ASSUMED_FWHM_PX = 4

function maskOf(layout: PictureLayout, peaks: readonly StarPeak[], stars: MeasuredStars): StarMask {
  const mask = new StarMask(layout.image.widthPx >> 1, layout.image.heightPx >> 1)
  const fwhmCells = (stars.fwhmPx ?? ASSUMED_FWHM_PX) / 2
  for (const peak of peaks) mask.cover(peak, fwhmCells)
  return mask
}

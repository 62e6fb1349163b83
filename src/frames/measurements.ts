// What is told of a picture. Plain data, so that a worker can send it back.

import type { Channel } from './picture.ts'
import type { ChannelStatistics } from './sample-statistics.ts'
import type { Saturation } from './saturation.ts'

export interface ChannelMeasurements extends ChannelStatistics {
  /**
   * Level of the sky, the camera's offset included, where no star reaches: median over blocks of clipped means, each taken
   * to the middle of the frame along the gradient.
   */
  backgroundAdu: number
  /** Standard deviation of a background pixel, from differences of neighbours of one colour. */
  noiseAdu: number
}

export interface FrameGradient {
  channel: Channel
  /** Rise from the first column of the file to the last, and from its first row to its last. */
  aduAcrossWidth: number
  aduAcrossHeight: number
  /** Between the darkest and the brightest corner. */
  cornerToCornerAdu: number
}

export interface FrameStar {
  /** Center; the middle of the file's first pixel is 1, as in the FITS standard. */
  xPx: number
  yPx: number
  /** Light within the aperture, above the background; for Bayer as if every pixel were green. */
  fluxAdu: number
  fwhmPx: number
  eccentricity: number
}

export interface FrameStars {
  channel: Channel
  count: number
  clippedCount: number
  measuredCount: number
  fwhmPx: number | null
  eccentricity: number | null
  apertureRadiusPx: number | null
  brightest: FrameStar[]
}

/**
 * What makes figures missing or meaningless: `constant` where all pixels are alike, `all-clipped` where all stand at the
 * saturation level, `too-small` where the frame has not enough pixels for a background apart from its median.
 */
export type FrameCondition = 'constant' | 'all-clipped' | 'too-small'

export interface PictureMeasurements {
  saturation: Saturation
  planes: ChannelMeasurements[]
  gradient: FrameGradient | null
  hotPixels: { share: number; thresholdSigma: number }
  stars: FrameStars
  conditions: FrameCondition[]
}

/** A channel without a single valid pixel, which leaves nothing to measure. */
export interface EmptyChannel {
  emptyChannel: Channel
}

export interface PictureStatistics {
  saturation: Saturation
  planes: ChannelStatistics[]
}

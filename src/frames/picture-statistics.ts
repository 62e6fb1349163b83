// Statistics of a whole picture, without a look at what is on it.

import { decodeInPlace, physicalAdu, smallestSample } from '../fits/index.ts'
import type { FitsImage } from '../fits/index.ts'
import { channelFigures } from './channel-statistics.ts'
import type { ChannelFigures } from './channel-statistics.ts'
import type { EmptyChannel, PictureStatistics } from './measurements.ts'
import { pixelsPerPlane } from './picture.ts'
import type { SharedPicture } from './picture.ts'
import { toAdu } from './sample-statistics.ts'
import { saturationOf, saturationSample } from './saturation.ts'

/** Decodes a picture none of whose strips have been measured, and takes its statistics. */
export function pictureStatistics(
  picture: SharedPicture,
  saturationAdu: number | undefined,
): PictureStatistics | EmptyChannel {
  const { image } = picture.layout
  decodeInPlace(picture.samples, image.bitsPerSample, 0, pixelsPerPlane(image) * image.planeCount)
  return statisticsAdu(image, channelFigures(picture), saturationAdu)
}

/** The channels' statistics in ADU, with the saturation level they are held against. */
export function statisticsAdu(
  image: FitsImage,
  figures: readonly ChannelFigures[],
  saturationAdu: number | undefined,
): PictureStatistics | EmptyChannel {
  const empty = figures.find(({ statistics }) => statistics.validCount === 0)
  if (empty) return { emptyChannel: empty.pixels.channel }
  const saturation = saturationOf(
    image,
    figures.map(({ statistics }) => statistics),
    saturationAdu,
  )
  const clippedFrom = saturationSample(image, saturation)
  return {
    saturation,
    planes: figures.map((channel) => {
      const { pixels, statistics, countFrom } = channel
      const clippedShare = saturation.adu === null ? null : countFrom(clippedFrom) / statistics.validCount
      const darkClippedShare = darkClippedShareOf(image, channel)
      return toAdu(pixels.channel, statistics, image.scale, { clippedShare, darkClippedShare })
    }),
  }
}

/** Counted only where the minimum is a floor: on large floating-point frames it costs a pass. */
function darkClippedShareOf(image: FitsImage, { statistics, countFrom }: ChannelFigures): number {
  const { minimum, validCount } = statistics
  if (minimum !== smallestSample(image.bitsPerSample) && physicalAdu(image.scale, minimum) !== 0) return 0
  const above =
    image.bitsPerSample > 0 ? minimum + 1 : minimum + Math.max(SMALLEST_STEP, Math.abs(minimum) * FLOAT_STEP)
  return 1 - countFrom(above) / validCount
}

/** From a number in single precision to the next, as a share of it, and from zero. */
const FLOAT_STEP = 2 ** -23
const SMALLEST_STEP = 1e-30

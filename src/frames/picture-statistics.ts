// Statistics of a whole picture, without a look at what is on it.

import { decodeInPlace } from '../fits/index.ts'
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
    planes: figures.map(({ pixels, statistics, countFrom }) => {
      const clippedShare = saturation.adu === null ? null : countFrom(clippedFrom) / statistics.validCount
      return toAdu(pixels.channel, statistics, image.scale, clippedShare)
    }),
  }
}

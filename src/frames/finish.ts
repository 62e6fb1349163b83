// The work on a picture once all of it has come.

import { physicalAdu } from '../fits/index.ts'
import { channelFigures } from './channel-statistics.ts'
import type { ChannelFigures } from './channel-statistics.ts'
import { NORMAL_PER_MAD } from './histogram.ts'
import { HOT_PIXEL_SPREADS } from './hot-pixels.ts'
import type { Outstanding } from './outstanding.ts'
import { detectionChannelOf, pixelsPerPlane } from './picture.ts'
import type { EmptyChannel, FrameCondition, FrameGradient, FrameStars, PictureMeasurements } from './measurements.ts'
import type { PictureLayout, SharedPicture } from './picture.ts'
import { statisticsAdu } from './picture-statistics.ts'
import type { ChannelStatistics } from './sample-statistics.ts'
import { saturationSample } from './saturation.ts'
import { APERTURE_WIDTHS } from './stars.ts'
import type { MeasuredStars } from './stars.ts'
import { measureSky } from './sky.ts'
import type { Sky } from './sky.ts'

/**
 * Measures a picture all of whose strips have been measured.
 *
 * @param outstanding  what the strips found
 * @param saturationAdu  the caller's saturation level, where there is one
 */
export function finishPicture(
  picture: SharedPicture,
  outstanding: Outstanding,
  saturationAdu: number | undefined,
): PictureMeasurements | EmptyChannel {
  const { image } = picture.layout
  const figures = channelFigures(picture)
  const statistics = statisticsAdu(image, figures, saturationAdu)
  if ('emptyChannel' in statistics) return statistics
  const sky = measureSky(picture, outstanding, saturationSample(image, statistics.saturation))
  const planes = statistics.planes.flatMap((plane) =>
    figures
      .filter(({ pixels }) => pixels.channel === plane.channel)
      .map((channel) => ({ ...plane, ...backgroundAdu(picture.layout, sky, channel) })),
  )
  return {
    saturation: statistics.saturation,
    planes,
    gradient: gradientAdu(picture.layout, sky),
    hotPixels: { share: sky.hotPixelCount / pixelsPerPlane(image), thresholdSigma: HOT_PIXEL_SPREADS },
    stars: starsAdu(picture.layout, sky.stars),
    conditions: conditionsOf(planes, sky),
  }
}

/** Where no block is free of stars or the frame is tiny, median and median deviation stand in. */
function backgroundAdu(
  { image }: PictureLayout,
  sky: Sky,
  { pixels, statistics }: ChannelFigures,
): { backgroundAdu: number; noiseAdu: number } {
  const { level, noise } = sky.backgrounds.get(pixels.channel) ?? {}
  return {
    backgroundAdu: physicalAdu(image.scale, level ?? statistics.median),
    noiseAdu: image.scale.scaleAdu * (noise ?? NORMAL_PER_MAD * statistics.medianDeviation),
  }
}

function gradientAdu(layout: PictureLayout, sky: Sky): FrameGradient | null {
  const { channel } = detectionChannelOf(layout)
  const gradient = sky.backgrounds.get(channel)?.gradient
  if (!gradient) return null
  const { scale } = layout.image
  const cornerToCornerAdu = scale.scaleAdu * (Math.abs(gradient.acrossWidth) + Math.abs(gradient.acrossHeight))
  return {
    channel,
    aduAcrossWidth: scale.scaleAdu * gradient.acrossWidth,
    aduAcrossHeight: scale.scaleAdu * gradient.acrossHeight,
    cornerToCornerAdu,
  }
}

function starsAdu(layout: PictureLayout, { brightest, ...stars }: MeasuredStars): FrameStars {
  return {
    channel: detectionChannelOf(layout).channel,
    ...stars,
    apertureRadiusPx: stars.fwhmPx === null ? null : APERTURE_WIDTHS * stars.fwhmPx,
    brightest: brightest.map(({ x, y, flux, fwhmPx, eccentricity }) => ({
      xPx: x + 1,
      yPx: y + 1,
      fluxAdu: layout.image.scale.scaleAdu * flux,
      fwhmPx,
      eccentricity,
    })),
  }
}

function conditionsOf(planes: readonly ChannelStatistics[], sky: Sky): FrameCondition[] {
  const conditions: FrameCondition[] = []
  if (planes.every(({ minimumAdu, maximumAdu }) => minimumAdu === maximumAdu)) conditions.push('constant')
  if (planes.every((plane) => plane.clippedShare === 1)) conditions.push('all-clipped')
  if (sky.backgrounds.size === 0) conditions.push('too-small')
  return conditions
}

// A frame's measurements in the contract's terms.

import type { FrameParameters, FramesAnswer } from '../../contract/frames.ts'
import { SkySchema } from '../../contract/sky.ts'
import type { ChannelMeasurements, FrameAnalysis } from '../../frames/index.ts'
import { commonAnswer } from '../../setup/inquiry.ts'
import { Notes } from '../../setup/notes.ts'
import { cameraPart } from '../../setup/sendable.ts'
import { explain } from './explain.ts'
import { isBackgroundClipped } from './clipped.ts'
import { knownOf, type Known } from './known.ts'

/** Part of the noise below which a background above the offset hangs on what the offset is off by. */
const LEAST_SKY_NOISES = 0.1
/** A gradient of twice the background brings the darkest corner down to the offset. */
const LARGEST_GRADIENT_SHARE = 2

/** The answer to a frame. */
export function answerOf(analysis: FrameAnalysis, parameters: FrameParameters): FramesAnswer {
  const notes = new Notes()
  const known = knownOf(analysis, parameters, notes)
  const headline = headlineOf(analysis)
  const body = { ...figuresOf(analysis, headline, known), ...sendableOf(analysis, headline, known, notes) }
  explain(analysis, body, known, notes)
  notes.cite(
    'FITS Standard 4.0 (IAU FITS Working Group 2018)',
    'Moffat 1969, A&A 3, 455: profile of a star',
    'Rousseeuw & Van Driessen 2006, Data Min. Knowl. Discov. 12, 29: least trimmed squares for the gradient',
    `Thresholds for stars, hot pixels and clipping: common practice, no source`,
  )
  return { ...body, ...commonAnswer(notes) }
}

/** The plane whose figures stand at the top: green where there is colour, as it has the most light. */
export function headlineOf({ planes, stars }: FrameAnalysis): ChannelMeasurements {
  const headline = planes.find(({ channel }) => channel === stars.channel)
  if (!headline) throw new Error('A frame was measured without the plane that its stars were.')
  return headline
}

function figuresOf(analysis: FrameAnalysis, headline: ChannelMeasurements, known: Known) {
  const { gradient, saturation, hotPixels, stars, conditions } = analysis
  return {
    channel: headline.channel,
    ...backgroundOf(headline, known),
    gradient: gradient && {
      acrossWidthAdu: gradient.aduAcrossWidth,
      acrossHeightAdu: gradient.aduAcrossHeight,
      cornerToCornerAdu: gradient.cornerToCornerAdu,
      cornerToCornerShare: shareOfSky(gradient.cornerToCornerAdu, headline, known),
    },
    saturation,
    hotPixels,
    stars: starsOf(stars, known),
    conditions,
    planes: analysis.planes.map((plane) => planeOf(plane, known)),
    frame: frameOf(analysis, known),
  }
}

function backgroundOf(plane: ChannelMeasurements, known: Known) {
  return {
    background: { adu: plane.backgroundAdu, electronsPerPixelSecond: rateOf(plane, known) },
    noise: { adu: plane.noiseAdu, electrons: inElectrons(plane.noiseAdu, known) },
    clippedShare: plane.clippedShare,
  }
}

/** Null where anything is unknown, the background lies below the offset, or it is clipped itself. */
function rateOf(plane: ChannelMeasurements, { subSeconds, offsetAdu, electronsPerAdu }: Known) {
  const { backgroundAdu } = plane
  if (subSeconds === null || offsetAdu === null || electronsPerAdu === null) return null
  if (backgroundAdu < offsetAdu || isBackgroundClipped(plane)) return null
  return ((backgroundAdu - offsetAdu) * electronsPerAdu) / subSeconds
}

function inElectrons(adu: number, { electronsPerAdu }: Known): number | null {
  return electronsPerAdu === null ? null : adu * electronsPerAdu
}

/** Null without offset, and where the background hardly rises above it: a bias frame has no sky to take a share of. */
function shareOfSky(
  adu: number,
  { backgroundAdu, noiseAdu }: ChannelMeasurements,
  { offsetAdu }: Known,
): number | null {
  if (offsetAdu === null) return null
  const skyAdu = backgroundAdu - offsetAdu
  const isSky = skyAdu > 0 && skyAdu >= LEAST_SKY_NOISES * noiseAdu && adu <= LARGEST_GRADIENT_SHARE * skyAdu
  return isSky ? adu / skyAdu : null
}

function planeOf(plane: ChannelMeasurements, known: Known): FramesAnswer['planes'][number] {
  const { channel, missingShare, medianAdu, madAdu, meanAdu, minimumAdu, maximumAdu } = plane
  const figures = { missingShare, medianAdu, medianDeviationAdu: madAdu, meanAdu, minimumAdu, maximumAdu }
  return { channel, ...backgroundOf(plane, known), ...figures }
}

function starsOf({ brightest, ...stars }: FrameAnalysis['stars'], known: Known): FramesAnswer['stars'] {
  const { count, clippedCount, measuredCount, fwhmPx, eccentricity, apertureRadiusPx } = stars
  return {
    ...{ count, clippedCount, measuredCount, fwhmPx, eccentricity, apertureRadiusPx },
    brightest: brightest.map((star) => ({ ...star, fluxElectrons: inElectrons(star.fluxAdu, known) })),
  }
}

function frameOf(analysis: FrameAnalysis, { subSeconds, temperatureCelsius }: Known): FramesAnswer['frame'] {
  const { widthPx, heightPx, bitsPerSample, color, bayerPattern } = analysis
  return {
    widthPx,
    heightPx,
    bitsPerSample,
    color,
    bayerPattern,
    subSeconds,
    temperatureCelsius,
  }
}

/** What the other questions take as it is; a sky that they would refuse is none. */
function sendableOf(analysis: FrameAnalysis, headline: ChannelMeasurements, known: Known, notes: Notes) {
  const { backgroundAdu } = headline
  const { subSeconds, electronsPerAdu, offsetAdu } = known
  const numbers = {
    ...(electronsPerAdu !== null && { electronsPerAdu: { value: electronsPerAdu, standardUncertainty: null } }),
    ...(offsetAdu !== null && { offsetAdu }),
  }
  const hasSky = !analysis.conditions.some((condition) => condition !== 'too-small') && !isBackgroundClipped(headline)
  const isSky = hasSky && backgroundAdu >= (offsetAdu ?? 0)
  const sky = subSeconds !== null && isSky ? { measured: { backgroundAdu, subSeconds } } : null
  return { sky: SkySchema.safeParse(sky).success ? sky : null, camera: cameraPart(numbers, notes) }
}

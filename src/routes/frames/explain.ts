// A frame in sentences.

import type { FramesAnswer } from '../../contract/frames.ts'
import type { FrameAnalysis } from '../../frames/index.ts'
import type { Notes } from '../../setup/notes.ts'
import { short, spokenShare } from '../../setup/words.ts'
import { cautionClipped } from './clipped.ts'
import type { Known } from './known.ts'

type Body = Omit<FramesAnswer, 'explanation' | 'assumptions' | 'cautions' | 'model' | 'uncertainty'>

/** A clipped share that is worth a word. */
const CLIPPED_WORTH_A_WORD = 1e-5
/** Noise below the photon noise by this share of the variance is no chance. */
const TOO_QUIET = 1.1
/** Floating-point frames that do not rise above this are scaled, not raw. */
const SCALED_MAXIMUM_ADU = 2

export function explain(analysis: FrameAnalysis, body: Body, known: Known, notes: Notes): void {
  explainBackground(body, known, notes)
  explainGradient(body, known, notes)
  explainStars(body, notes)
  explainDefects(body, notes)
  explainSky(body, known, notes)
  caution(analysis, body, notes)
}

function explainBackground({ channel, background, noise, planes, conditions }: Body, known: Known, notes: Notes): void {
  const where = planes.length > 1 ? ` in ${channel}` : ''
  notes.explain(`The background is ${level(background.adu)} ADU${where}, with a noise of ${short(noise.adu)} ADU.`)
  const rate = background.electronsPerPixelSecond
  if (rate === null) {
    explainMissing(background.adu, known, notes)
    return
  }
  notes.explain(
    `Above the offset that is ${short(rate)} electrons per pixel and second, dark current included; the questions that take \`sky\` take your camera’s dark current off.`,
  )
  if (conditions.includes('constant')) return
  const photonVariance = rate * (known.subSeconds ?? 0)
  const variance = (noise.electrons ?? 0) ** 2
  if (photonVariance > TOO_QUIET * variance) {
    notes.caution(
      'The noise is less than the photons alone make: gain or offset is not this frame’s, or it was binned, stacked or smoothed.',
    )
  } else if (photonVariance > 0) {
    notes.explain(
      `The photon noise of that background makes up ${spokenShare(Math.min(1, photonVariance / variance))} of the variance.`,
    )
  }
}

/** A level to three digits at least, as its noise is often a small part of it. */
function level(adu: number): string {
  return Math.abs(adu) >= 99.5 ? short(adu) : String(Number(adu.toPrecision(3)))
}

function explainMissing(backgroundAdu: number, known: Known, notes: Notes): void {
  const missing = (['subSeconds', 'electronsPerAdu', 'offsetAdu'] as const).filter((name) => known[name] === null)
  if (missing.length > 0) {
    notes.explain(`To have the background in electrons, give ${inWords(missing)} in the query.`)
  } else if (backgroundAdu < (known.offsetAdu ?? 0)) {
    notes.caution('The background lies below the offset: that is not the offset of this frame.')
  }
}

function inWords(names: readonly string[]): string {
  const quoted = names.map((name) => `\`${name}\``)
  return [quoted.slice(0, -1).join(', '), ...quoted.slice(-1)].filter((part) => part !== '').join(' and ')
}

function explainGradient({ gradient }: Body, { offsetAdu }: Known, notes: Notes): void {
  if (gradient === null) {
    notes.explain('The frame is too small, or too full of stars, to tell a gradient.')
    return
  }
  const { cornerToCornerAdu, cornerToCornerShare } = gradient
  const share =
    cornerToCornerShare === null ? '' : `, ${spokenShare(cornerToCornerShare)} of the background above the offset`
  notes.explain(`From the darkest corner to the brightest it rises by ${short(cornerToCornerAdu)} ADU${share}.`)
  if (cornerToCornerShare === null && offsetAdu !== null) {
    notes.explain('That is no share of a background, which hardly rises above the offset.')
  }
}

function explainStars({ stars }: Body, notes: Notes): void {
  const { count, clippedCount, fwhmPx, eccentricity } = stars
  if (count === 0) notes.explain('No stars were found.')
  else {
    const clipped = clippedCount === 0 ? '' : `, ${clippedCount} of them clipped`
    notes.explain(`${count === 1 ? 'One star was' : `${count} stars were`} found${clipped}.`)
  }
  if (fwhmPx !== null && eccentricity !== null) {
    notes.explain(
      `${count === 1 ? 'It is' : 'Those that were measured are'} ${short(fwhmPx)} pixels wide at half maximum, with an eccentricity of ${short(eccentricity)}.`,
    )
  }
}

function explainDefects({ clippedShare, saturation, hotPixels }: Body, notes: Notes): void {
  if (clippedShare !== null && saturation.adu !== null && clippedShare > CLIPPED_WORTH_A_WORD) {
    notes.explain(`${spokenShare(clippedShare)} of the pixels are clipped, from ${short(saturation.adu)} ADU up.`)
  }
  if (saturation.adu === null)
    notes.explain('Give `saturationAdu` to have clipped pixels counted: floating point has no largest code.')
  if (hotPixels.share > 0)
    notes.explain(`${spokenShare(hotPixels.share)} of the pixels stand out alone: hot ones, or cosmic rays.`)
}

function explainSky({ sky }: Body, known: Known, notes: Notes): void {
  if (sky !== null) {
    const missing = (['electronsPerAdu', 'offsetAdu'] as const).filter((name) => known[name] === null)
    notes.explain(
      missing.length === 0
        ? 'Send `sky` to the other questions as it is, and put what `camera` holds here into your own.'
        : `Send \`sky\` to the other questions as it is, with ${inWords(missing)} in your \`camera\`.`,
    )
  } else if (known.subSeconds === null) {
    notes.explain('There is no `sky` to send without the exposure: give `subSeconds` in the query.')
  } else notes.explain('There is no `sky` to send: this background is not one.')
}

function caution(analysis: FrameAnalysis, { conditions, planes }: Body, notes: Notes): void {
  cautionClipped(analysis, notes)
  if (conditions.includes('constant')) notes.caution('All pixels are alike: this is no picture of the sky.')
  if (conditions.includes('too-small')) {
    notes.caution('The frame is too small for a background apart from its stars: median and median deviation stand in.')
  }
  if (planes.some(({ missingShare }) => missingShare > 0)) notes.caution('Pixels without a value were left out.')
  if (analysis.bitsPerSample < 0 && planes.every(({ maximumAdu }) => maximumAdu <= SCALED_MAXIMUM_ADU)) {
    notes.caution('These numbers look scaled, not raw: what hangs on gain or offset holds for raw frames only.')
  }
}

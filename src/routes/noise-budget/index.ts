import {
  NOISE_TERMS,
  NoiseBudgetAnswerSchema,
  noiseBudgetExamples,
  NoiseBudgetRequestSchema,
} from '../../contract/noise-budget.ts'
import type { NoiseTerms } from '../../engine/index.ts'
import { inquire } from '../../setup/inquiry.ts'
import type { Notes } from '../../setup/notes.ts'
import { explainPlane } from '../../setup/plane-words.ts'
import { ratesAnswer } from '../../setup/rates-answer.ts'
import { short, spokenSeconds, spokenShare } from '../../setup/words.ts'
import { question } from '../endpoint.ts'
import { quantities, solve, type Request, type Solution } from './solve.ts'

export const noiseBudget = question({
  id: 'noiseBudget',
  path: '/v1/noise-budget',
  tag: 'Exposure',
  summary: 'Where does the noise come from, and what SNR comes out?',
  description:
    'Counts the electrons of target, sky, dark current and readout on one pixel, in one sub and in the stack, and tells what share of the noise each is to blame for. A star is measured in an aperture. Give `plan.subSeconds` and `plan.subCount`; without a length the one that `/v1/sub-exposure` would advise is used.',
  request: NoiseBudgetRequestSchema,
  answer: NoiseBudgetAnswerSchema,
  examples: noiseBudgetExamples,
  handle: (request) => inquire(request, { solve, quantities, encode }),
})

function encode(solution: Solution, notes: Notes, request: Request) {
  const { scene, perSub, stack, star, subSeconds, subCount } = solution
  const decisive = star !== null && !solution.extended ? star.stack : stack
  const dominantTerm = largest(decisive.shares)
  explain(solution, request, dominantTerm, notes)
  return {
    perSub,
    stack: { ...stack, snrPerArcsec2: solution.snrPerArcsec2 },
    ...(star !== null && {
      star: {
        apertureRadiusArcsec: star.apertureRadiusArcsec,
        aperturePixels: star.input.aperturePixels,
        capturedFraction: star.input.capturedFraction,
        peakPixelFraction: star.peakPixelFraction,
        peakElectrons: star.peakElectrons,
        clips: star.clips,
        perSub: star.perSub,
        stack: star.stack,
      },
    }),
    dominantTerm,
    subSeconds,
    subCount,
    ...ratesAnswer(scene),
  }
}

function largest(shares: NoiseTerms): (typeof NOISE_TERMS)[number] {
  return NOISE_TERMS.reduce((most, term) => (shares[term] > shares[most] ? term : most))
}

const TERM_WORDS: Record<(typeof NOISE_TERMS)[number], string> = {
  target: 'the target’s own photon noise, the best there can be',
  sky: 'the sky: a darker site or a narrower filter would help, another camera hardly',
  dark: 'dark current: a colder sensor would help',
  read: 'read noise: longer subs or a quieter read mode would help',
  quantization: 'rounding to whole ADU: a read mode with fewer electrons per ADU would help',
  calibration: 'calibration: more darks and flats, or dithering, would help',
}

function explain(solution: Solution, request: Request, dominantTerm: (typeof NOISE_TERMS)[number], notes: Notes) {
  const { stack, star, subCount, subSeconds, extended, scene } = solution
  const stacked = `${subCount === 1 ? 'One sub' : `${subCount} subs`} of ${spokenSeconds(subSeconds)}`
  const decisive = star !== null && !extended ? star.stack : stack
  if (extended)
    notes.explain(
      `${stacked} ${subCount === 1 ? 'gives' : 'give'} a signal-to-noise ratio of ${short(stack.snr)} on a pixel.`,
    )
  if (star !== null)
    notes.explain(
      `${stacked} ${subCount === 1 ? 'measures' : 'measure'} the star with a signal-to-noise ratio of ${short(star.stack.snr)}.`,
    )
  if (request.target === undefined)
    notes.explain('Without a target there is noise but no signal; give one to learn the ratio.')
  notes.explain(`${spokenShare(decisive.shares[dominantTerm])} of the noise is ${TERM_WORDS[dominantTerm]}.`)
  explainPlane(scene, notes)
  explainStacking(request, subCount, notes)
}

function explainStacking(request: Request, subCount: number, notes: Notes): void {
  const { combine, calibration } = request.plan ?? {}
  if (combine === 'clipped-mean' && subCount <= 10) {
    notes.explain('A mean clipped at 3 standard deviations cannot reject anything in 10 subs or fewer.')
  }
  if (calibration?.ditherPositions !== undefined && calibration.ditherPositions > subCount) {
    notes.explain(`There are only ${subCount} subs to dither; ${subCount} positions are counted.`)
  }
  const positions = calibration?.ditherPositions ?? 1
  if (combine === 'median' && positions > 1 && positions < subCount) {
    notes.caution(
      'For a median over a few dither positions the noise told here is up to some 3 % too low where calibration matters.',
    )
  }
  if (calibration?.biasFrames !== undefined && calibration.darkFrames !== undefined) {
    notes.explain('The darks hold the bias already, so the bias frames add no noise to the subs.')
  }
}

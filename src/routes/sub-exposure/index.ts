import { SubExposureAnswerSchema, SubExposureRequestSchema, subExposureExamples } from '../../contract/sub-exposure.ts'
import type { PixelRates } from '../../engine/index.ts'
import { inquire } from '../../setup/inquiry.ts'
import type { Notes } from '../../setup/notes.ts'
import { ratesAnswer } from '../../setup/rates-answer.ts'
import { question } from '../endpoint.ts'
import { quantities, solve, type Solution } from './solve.ts'
import { explainAdvice, explainCollision, explainLimit, explainYield } from './words.ts'

export const subExposure = question({
  id: 'subExposure',
  path: '/v1/sub-exposure',
  tag: 'Exposure',
  summary: 'How long should each sub be?',
  description:
    'Weighs read noise and dead time, which ask for long subs, against clipping, tracking and spoiled subs, which ask for short ones. Give a camera, the sky, and as much as you know; the answer lists what it assumed. With a target it also tells the signal-to-noise ratio of a night of such subs. Rates may be given in electrons, in magnitudes, in rayleighs or as measured on a sub.',
  request: SubExposureRequestSchema,
  answer: SubExposureAnswerSchema,
  examples: subExposureExamples,
  handle: (request) => inquire(request, { solve, quantities, encode }),
})

function encode(solution: Solution, notes: Notes) {
  const { advice, scene, subCount, clockSeconds, expected, readNoiseTolerance } = solution
  const { rates } = scene.plane
  explainAdvice(solution, notes)
  explainYield(solution, notes)
  const severalModes = advice.byMode.length > 1
  const mostInformation = Math.max(...advice.byMode.map(({ informationRate }) => informationRate))
  return {
    recommended: {
      subSeconds: advice.subSeconds,
      subCount,
      integrationSeconds: subCount * advice.subSeconds,
      clockSeconds,
      ...(severalModes && { readMode: advice.mode.label }),
    },
    usefulRange: advice.usefulRange,
    limits: advice.limits.map((bound) => ({
      name: bound.name,
      kind: bound.kind,
      seconds: bound.seconds,
      explanation: explainLimit(bound, readNoiseTolerance),
    })),
    limitedBy: advice.limitedBy,
    collisions: advice.collisions.map((collision) => ({
      lower: collision.lower,
      upper: collision.upper,
      explanation: explainCollision(collision, advice),
    })),
    swampFactor: advice.swampFactor,
    readNoiseExcess: advice.readNoiseExcess,
    darkToSky: darkToSky(rates),
    informationShare: Math.min(1, advice.informationShare),
    expected,
    ...ratesAnswer(scene),
    ...(severalModes && {
      readModes: advice.byMode.map((mode) => ({
        label: mode.mode.label,
        subSeconds: mode.subSeconds,
        usefulRange: mode.usefulRange,
        swampFactor: mode.swampFactor,
        informationShare: mode.informationRate / mostInformation,
      })),
    }),
  }
}

function darkToSky(rates: PixelRates): number | null {
  const ratio = rates.darkElectronsPerPixelSecond / rates.skyElectronsPerPixelSecond
  return Number.isFinite(ratio) ? ratio : null
}

import {
  CalibrationPlanAnswerSchema,
  calibrationPlanExamples,
  CalibrationPlanRequestSchema,
} from '../../contract/calibration-plan.ts'
import type { TemperatureMismatch } from '../../engine/index.ts'
import { inquire } from '../../setup/inquiry.ts'
import type { Notes } from '../../setup/notes.ts'
import { short, spokenCelsius, spokenSeconds, spokenShare } from '../../setup/words.ts'
import { question } from '../endpoint.ts'
import { stricter } from './temperature.ts'
import { quantities, solve, type Solution } from './solve.ts'

export const calibrationPlan = question({
  id: 'calibrationPlan',
  path: '/v1/calibration-plan',
  tag: 'Detector',
  summary: 'How many darks, flats and bias, and how close in temperature?',
  description:
    'The fewest calibration frames that raise the noise of your stack by no more than a stated share, how far off the temperature of darks may be, what darks of another temperature leave on ordinary and on hot pixels, with and without dither, and the smallest dark library that serves a list of planned subs.',
  request: CalibrationPlanRequestSchema,
  answer: CalibrationPlanAnswerSchema,
  examples: calibrationPlanExamples,
  handle: (request) => inquire(request, { solve, quantities, encode }),
})

function encode(solution: Solution, notes: Notes) {
  const { plan, stack, flatElectrons, temperature, library } = solution
  explain(solution, notes)
  const { dark, flat, flatCalibration } = plan.varianceShares
  const usesBias = plan.flatCalibration === 'bias'
  return {
    frames: {
      darks: plan.darkFrames,
      flats: plan.flatFrames,
      bias: usesBias ? plan.flatCalibrationFrames : null,
      darkFlats: usesBias ? null : plan.flatCalibrationFrames,
    },
    varianceShares: { darks: dark, flats: flat, flatOffsets: flatCalibration },
    noiseExcessShare: plan.noiseExcessShare,
    temperatureToleranceCelsius: temperature?.toleranceCelsius ?? null,
    tolerance: temperature && { ordinary: temperature.ordinary, hot: temperature.hot },
    residual: temperature && {
      lightsCelsius: temperature.lightsCelsius,
      darksCelsius: temperature.darksCelsius,
      ...temperature.residual,
    },
    library:
      library?.map(({ subSeconds, temperatureCelsius, serves }) => ({
        celsius: temperatureCelsius,
        subSeconds,
        serves: serves.map((index) => `/library/planned/${index}`),
      })) ?? null,
    subSeconds: stack.subSeconds,
    subCount: stack.subCount,
    flatElectrons,
  }
}

function explain({ plan, stack, flatElectrons, temperature, library }: Solution, notes: Notes): void {
  const { subCount, subSeconds, ditherPositions } = stack
  const offsets = counted(plan.flatCalibrationFrames, plan.flatCalibration === 'bias' ? 'bias frame' : 'dark-flat')
  notes.explain(
    `For ${counted(subCount, 'sub')} of ${spokenSeconds(subSeconds)} take ${counted(plan.darkFrames, 'dark')}, ${counted(plan.flatFrames, 'flat')} of ${short(flatElectrons)} electrons and ${offsets}: together they raise the noise of the stack by ${spokenShare(plan.noiseExcessShare)}.`,
  )
  if (plan.flatCalibration === 'dark-flats') {
    notes.explain('Dark current shows in flats so long, so darks of their length take the place of bias frames.')
  }
  notes.explain(
    ditherPositions > 1
      ? `Dither over ${Math.min(ditherPositions, subCount)} positions spreads the error of the calibration, so fewer frames do.`
      : 'Without dither every sub carries the same error of the calibration; dithering would need far fewer frames.',
  )
  if (temperature === null) {
    notes.explain(
      'Without a dark current nothing can be said about the temperature of darks; give `camera.darkCurrent`.',
    )
  } else {
    const { toleranceCelsius, residual, darksCelsius } = temperature
    notes.explain(
      toleranceCelsius === null
        ? 'On an ordinary pixel darks of any temperature would do: dark current does not show in this stack.'
        : `Darks may be off by ${short(toleranceCelsius)} °C before an ordinary pixel shows it.`,
    )
    const hot = stricter(temperature.hot)
    if (hot !== null)
      notes.explain(
        `A hot pixel already shows it at ${short(hot)} °C; ${ditherPositions > 1 ? 'dither and clipping take care of those' : 'dither and a clipped mean would take care of those'}.`,
      )
    notes.explain(mismatchSentence(darksCelsius, residual))
  }
  if (library !== null) {
    notes.explain(
      `${counted(library.length, 'set')} of darks can serve all subs planned in \`library\`, the fewest that do.`,
    )
  }
}

function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`
}

function mismatchSentence(darksCelsius: number, { ordinary, hot }: TemperatureMismatch): string {
  const times = (ratio: number) => short(Math.abs(ratio))
  return `Darks at ${spokenCelsius(darksCelsius)} leave ${times(ordinary.overStackNoise)} times the noise of the stack on an ordinary pixel and ${times(hot.overStackNoise)} times on a hot one; without dither ${times(ordinary.overStackNoiseWithoutDither)} and ${times(hot.overStackNoiseWithoutDither)} times.`
}

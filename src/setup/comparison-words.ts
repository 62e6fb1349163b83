// What a set-up yields, in sentences.

import type { NOISE_TERMS } from '../contract/noise-budget.ts'
import type { SetupYield } from './comparison-yield.ts'
import { short, spokenSeconds, spokenShare } from './words.ts'

export const NOISE_WORDS: Record<(typeof NOISE_TERMS)[number], string> = {
  target: 'the photon noise of the target itself',
  sky: 'the photon noise of the sky',
  dark: 'dark current',
  read: 'read noise',
  quantization: 'rounding to whole ADU',
  calibration: 'what the calibration frames leave',
}

/** “12 h in 3 nights”. */
export function spokenTime({ answer }: SetupYield): string {
  const { totalHours, nights } = answer
  if (totalHours === null || nights === null) return 'no number of nights'
  return `${spokenSeconds(totalHours * 3600)} in ${nights === 1 ? 'one night' : `${nights} nights`}`
}

/** What holds a set-up back, as a sentence; undefined where nothing was gathered. */
export function spokenLimit({ answer }: SetupYield, subject: string): string | undefined {
  const { limitingChannel, limitingNoise, channels } = answer
  const channel = channels.find((it) => it.name === limitingChannel)
  if (limitingNoise === null || channel === undefined) return undefined
  const share = spokenShare(channel.noiseShares[limitingNoise])
  return `${subject} is held back by ${NOISE_WORDS[limitingNoise]}: ${share} of the noise in “${channel.name}”, with subs of ${spokenSeconds(channel.subSeconds)}.`
}

/** A ratio as people say it: “1.4 times”. */
export function spokenTimes(ratio: number): string {
  return `${short(ratio)} times`
}

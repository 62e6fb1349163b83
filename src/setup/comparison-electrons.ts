// Brightness in electrons on a pixel holds for one camera, optics and filter: a choice between set-ups that differ in these
// cannot go by it.

import { isDeepStrictEqual } from 'node:util'
import { channelsOfSetup, type ChoiceSetup } from './comparison-request.ts'
import { Notes } from './notes.ts'
import type { SceneRequest, TargetRequest } from './scene.ts'

/** What is in electrons, by the words for it. */
function inElectrons(skies: readonly SceneRequest['sky'][], targets: readonly TargetRequest[]): string | undefined {
  const isSky = skies.some((sky) => sky.electronsPerPixelSecond !== undefined || sky.measured !== undefined)
  const isTarget = targets.some((target) => target.electronsPerPixelSecond !== undefined)
  if (isSky && isTarget) return 'Sky and target are'
  if (isSky) return 'The sky is'
  return isTarget ? 'The target is' : undefined
}

/** All that decides how much of a brightness a pixel gathers. */
function lightPaths(setup: ChoiceSetup): unknown[] {
  const { like, pixelSizeUm, binning, quantumEfficiency, color, infraredBlocker } = setup.camera
  const camera = { like, pixelSizeUm, binning, quantumEfficiency, color, infraredBlocker }
  return channelsOfSetup(setup, '', new Notes()).map(({ filter }) => ({ camera, optics: setup.optics, filter }))
}

/** Whether the set-ups, or the channels of one, gather different shares of the same brightness. */
export function pathsDiffer(setups: readonly ChoiceSetup[]): boolean {
  const [first, ...others] = setups.flatMap(lightPaths)
  return others.some((other) => !isDeepStrictEqual(first, other))
}

/**
 * Warns where a brightness in electrons is used for light paths that differ.
 *
 * @param who  those that differ, as the end of a sentence
 */
export function cautionElectrons(
  question: {
    setups: readonly ChoiceSetup[]
    skies: readonly SceneRequest['sky'][]
    targets: readonly TargetRequest[]
  },
  who: string,
  notes: Notes,
): void {
  const what = inElectrons(question.skies, question.targets)
  if (what === undefined || !pathsDiffer(question.setups)) return
  notes.caution(
    `${what} given in electrons on a pixel, which hold for one camera, optics and filter only. ${who} in these, so what is told of them here means little: give magnitudes, rayleighs or a Bortle class instead.`,
  )
}

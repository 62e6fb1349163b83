// A patch of sky with an extended target, pixel by pixel.

import type { Draws } from './draws.ts'
import { PoissonCounts } from './poisson-counts.ts'
import { Moments } from './moments.ts'
import { PixelSeries, type Series } from './pixel-series.ts'

export interface Patch extends Series {
  /** Of one pixel of the frame. */
  skyElectronsPerPixelSecond: number
  targetElectronsPerPixelSecond: number
}

/** What the pixels of a picture show. */
export interface Measured {
  signalElectrons: number
  noiseElectrons: number
  snr: number
}

/** How much is simulated: so many blocks, each the sum of so many pixels. */
export interface Effort {
  blocks: number
  pixelsPerBlock?: number
}

/** Signal and noise of a block of pixels of the sum of all subs, from the scatter between many such blocks. */
export function photographPatch(patch: Patch, { blocks, pixelsPerBlock = 1 }: Effort, draws: Draws): Measured {
  const pixel = new PixelSeries(patch, draws)
  const share = patch.subSeconds / pixel.cell.perPixel
  const sky = new PoissonCounts(patch.skyElectronsPerPixelSecond * share)
  const target = new PoissonCounts(patch.targetElectronsPerPixelSecond * share)
  const imaged = Array.from({ length: pixel.cell.perPixel }, () => target)
  const level = new Moments()
  const signal = new Moments()
  for (let block = 0; block < blocks; block++) {
    let sum = 0
    let sumWithout = 0
    for (let i = 0; i < pixelsPerBlock; i++) {
      const { withTarget, without } = pixel.stack(sky, imaged)
      sum += withTarget
      sumWithout += without
    }
    level.add(sum)
    signal.add(sum - sumWithout)
  }
  return {
    signalElectrons: signal.mean,
    noiseElectrons: level.deviation,
    snr: signal.mean / level.deviation,
  }
}

/** The same patch in one raw sub. */
export function photographSub(patch: Patch, effort: Effort, draws: Draws): Measured {
  return photographPatch({ ...patch, subCount: 1, combine: 'mean', calibration: {} }, effort, draws)
}

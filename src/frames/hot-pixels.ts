// Telling hot pixels from stars: the light of a star falls on several pixels, the charge of a hot one on itself alone.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { isMissing } from '../fits/index.ts'
import type { BackgroundMap } from './background-map.ts'
import { LEVEL } from './mesh.ts'
import type { PlaneView } from './plane-view.ts'

/** A pixel is hot that stands so many spreads above the level of its colour, when it is lonely. */
export const HOT_PIXEL_SPREADS = 6

/**
 * A pixel is lonely when its eight neighbours, without the brightest of them, rise together less than this share of its
 * own height above their levels. A star of 2 pixels full width at half maximum gives them 2.5 times the height, on a
 * Bayer pattern of very unequal colours 1.1; leaving one out allows for a second hot pixel beside the first.
 */
const LONELY_SHARE = 0.9

const levels = new Float64Array(4)

/** True for a pixel of this height whose neighbours do not share in it; what is missing has no height. */
export function isLonely(plane: PlaneView, x: number, y: number, height: number): boolean {
  readLevels(plane.background, x, y)
  return isLonelyAbove(levels, plane, x, y, height)
}

/** @param levels  of the four positions about there */
export function isLonelyAbove(
  levels: Float64Array,
  { samples, widthPx, heightPx, blank }: PlaneView,
  x: number,
  y: number,
  height: number,
): boolean {
  let sum = 0
  let brightest = 0
  for (let atY = Math.max(0, y - 1); atY <= Math.min(heightPx - 1, y + 1); atY++) {
    for (let atX = Math.max(0, x - 1); atX <= Math.min(widthPx - 1, x + 1); atX++) {
      const sample = samples[atY * widthPx + atX]!
      if ((atX === x && atY === y) || isMissing(blank, sample)) continue
      const neighbor = sample - levels[positionOf(atX, atY)]!
      sum += neighbor
      if (neighbor > brightest) brightest = neighbor
    }
  }
  return sum - brightest < LONELY_SHARE * height
}

/** True for a peak too sharp to be a star's: hot pixels side by side, or the track of a particle. */
export function isSharp(plane: PlaneView, { cellX, cellY }: { cellX: number; cellY: number }): boolean {
  readLevels(plane.background, 2 * cellX, 2 * cellY)
  let [brightest, height] = [0, -Infinity]
  for (let position = 0; position < 4; position++) {
    const index = (2 * cellY + (position >> 1)) * plane.widthPx + 2 * cellX + (position & 1)
    const sample = plane.samples[index]!
    const above = sample - levels[position]!
    if (above > height && !isMissing(plane.blank, sample)) [brightest, height] = [position, above]
  }
  return isLonely(plane, 2 * cellX + (brightest & 1), 2 * cellY + (brightest >> 1), height)
}

/** Levels of the four positions around a pixel: within a pixel or two, gradients are nothing. */
function readLevels(background: BackgroundMap, x: number, y: number): void {
  // The middle of cell 0 lies between pixels 0 and 1.
  background.moveTo((x - 0.5) / 2, (y - 0.5) / 2)
  for (let position = 0; position < 4; position++) levels[position] = background.figure(LEVEL + position)
}

/** Place of a pixel in its cell. */
export function positionOf(x: number, y: number): number {
  return (y & 1) * 2 + (x & 1)
}

// The pixels around a star: those of one colour, above the background, without hot ones.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { isMissing } from '../fits/index.ts'
import { LEVEL, SPREAD } from './mesh.ts'
import { HOT_PIXEL_SPREADS, isLonely, positionOf } from './hot-pixels.ts'
import { POSITIONS } from './picture.ts'
import type { Position } from './picture.ts'
import type { PlaneView } from './plane-view.ts'
import type { StarPeak } from './star-peaks.ts'
import type { StarPixels } from './star-profile.ts'

/** The plane the stars are on, and which of its pixels are used. */
export interface StarField {
  plane: PlaneView
  positions: readonly Position[]
  /** Lowest sample that counts as clipped. */
  saturationSample: number
}

/** Pixels around a peak that must be unclipped. */
const CLIPPED_REACH = 4

export function cutOut(field: StarField, middle: { x: number; y: number }, reach: number): StarPixels {
  const room = (2 * reach + 1) ** 2
  const pixels = { count: 0, x: new Float64Array(room), y: new Float64Array(room), height: new Float64Array(room) }
  eachPixel(field, middle, reach, (x, y, height) => {
    pixels.x[pixels.count] = x - middle.x
    pixels.y[pixels.count] = y - middle.y
    pixels.height[pixels.count++] = height
  })
  return pixels
}

/** Light within a circle above the background; every used pixel stands for the unused ones around it. */
export function aperture(field: StarField, { x, y }: { x: number; y: number }, radius: number): number {
  const middle = { x: Math.round(x), y: Math.round(y) }
  let sum = 0
  eachPixel(field, middle, Math.ceil(radius) + 1, (pixelX, pixelY, height) => {
    // A pixel on the rim counts by the share of it that lies inside, to first order.
    const inside = radius + 0.5 - Math.sqrt((pixelX - x) ** 2 + (pixelY - y) ** 2)
    sum += height * Math.min(1, Math.max(0, inside))
  })
  return (sum * 4) / field.positions.length
}

/** True when any pixel near the peak, of any colour, is clipped. */
export function isClipped({ plane, saturationSample }: StarField, { cellX, cellY }: StarPeak): boolean {
  const [fromX, fromY] = [Math.max(0, 2 * cellX - CLIPPED_REACH), Math.max(0, 2 * cellY - CLIPPED_REACH)]
  const toX = Math.min(plane.widthPx - 1, 2 * cellX + 1 + CLIPPED_REACH)
  const toY = Math.min(plane.heightPx - 1, 2 * cellY + 1 + CLIPPED_REACH)
  for (let y = fromY; y <= toY; y++) {
    for (let x = fromX; x <= toX; x++) {
      const sample = plane.samples[y * plane.widthPx + x]!
      if (sample >= saturationSample && !isMissing(plane.blank, sample)) return true
    }
  }
  return false
}

/**
 * Visits the used, valid pixels of a square around a pixel, as far as the frame goes, with their heights above the level
 * at its middle: what a gradient adds on one side it takes from the other. Hot pixels are passed over.
 */
export function eachPixel(
  { plane, positions }: StarField,
  middle: { x: number; y: number },
  reach: number,
  visit: (x: number, y: number, height: number) => void,
): void {
  const { samples, widthPx, heightPx, blank } = plane
  const { levels, hotFrom } = levelsAround(plane, middle, positions)
  const toX = Math.min(widthPx - 1, middle.x + reach)
  const toY = Math.min(heightPx - 1, middle.y + reach)
  for (let y = Math.max(0, middle.y - reach); y <= toY; y++) {
    for (let x = Math.max(0, middle.x - reach); x <= toX; x++) {
      const position = positionOf(x, y)
      const height = samples[y * widthPx + x]! - levels[position]!
      if (Number.isNaN(height) || isMissing(blank, samples[y * widthPx + x]!)) continue
      if (!(height > hotFrom[position]! && isLonely(plane, x, y, height))) visit(x, y, height)
    }
  }
}

/** Of the four positions at a place: levels, NaN for those that are not used, and heights from which a pixel may be hot. */
function levelsAround(
  { background }: PlaneView,
  { x, y }: { x: number; y: number },
  positions: readonly Position[],
): { levels: Float64Array; hotFrom: Float64Array } {
  background.moveTo((x - 0.5) / 2, (y - 0.5) / 2)
  return {
    levels: Float64Array.from(POSITIONS, (position) =>
      positions.includes(position) ? background.figure(LEVEL + position) : Number.NaN,
    ),
    hotFrom: Float64Array.from(POSITIONS, (position) => HOT_PIXEL_SPREADS * background.figure(SPREAD + position)),
  }
}

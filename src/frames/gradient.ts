// A plane through the background: what a lamp, the Moon or a crooked flat leaves across the frame.

import { blockLevel, blockNoise } from './background.ts'
import type { BlockBackground } from './block-totals.ts'
import { NORMAL_PER_MAD } from './histogram.ts'
import { LinearSystem } from './linear-system.ts'
import { median, weightedMedian } from './median.ts'
import type { Position } from './picture.ts'

/** In units of the samples. */
export interface Gradient {
  /** Level at the middle of the frame. */
  middle: number
  /** Rise across the frame, along the rows and down the rows of the file. */
  acrossWidth: number
  acrossHeight: number
}

const CLIP = 3
const ROUNDS = 30
/** Concentration ends when the farthest block of the half comes no closer than by a thousandth. */
const SETTLED = 0.999
/** Blocks without which a plane says nothing. */
const FEWEST_BLOCKS = 4
/** A plane has to fit blocks to no better than this share of its level. */
const ROUNDING = 1e-12
/** Share of the frame that the blocks must span both ways; two blocks span a half. */
const SMALLEST_SPAN = 0.25

interface Point {
  x: number
  y: number
  level: number
  weight: number
}

/**
 * Fits a plane to the block levels: first to that half of the blocks that lies closest to one (least trimmed squares, by
 * concentration), so that nebulae and clusters do not tilt it, then to all blocks within three robust deviations of it.
 *
 * @returns undefined where the frame has too few blocks, or all in one row or column
 * @source Rousseeuw & Van Driessen 2006, Data Min. Knowl. Discov. 12, 29 (concentration steps)
 */
export function gradientOf(blocks: readonly BlockBackground[], positions: readonly Position[]): Gradient | undefined {
  return planeThrough(pointsOf(blocks, positions, blockLevel))
}

function planeThrough(points: readonly Point[]): Gradient | undefined {
  let plane = fitPlane(points)
  let farthest = Infinity
  for (let round = 0; plane && round < ROUNDS; round++) {
    const { half, limit } = closestHalf(points, plane)
    if (!(limit < SETTLED * farthest)) break
    farthest = limit
    plane = fitPlane(half) ?? plane
  }
  return plane && (fitPlane(withoutOutliers(points, plane)) ?? plane)
}

/**
 * The level of the sky: the median over the blocks, so that a nebula on part of the frame does not move it, each block
 * taken to the middle of the frame along the gradient and counting by its free cells.
 *
 * @returns undefined where no block has a level
 */
export function skyLevel(
  blocks: readonly BlockBackground[],
  positions: readonly Position[],
  gradient: Gradient | undefined,
): number | undefined {
  return atMiddle(pointsOf(blocks, positions, blockLevel), gradient)
}

/**
 * The noise of the sky at the middle of the frame, found as its level is: photon noise rises with the level, so that its
 * variance too has a gradient.
 */
export function skyNoise(blocks: readonly BlockBackground[], positions: readonly Position[]): number | undefined {
  const points = pointsOf(blocks, positions, (block, of) => blockNoise(block, of) ** 2)
  const variance = atMiddle(points, planeThrough(points))
  return variance === undefined ? undefined : Math.sqrt(Math.max(0, variance))
}

function atMiddle(points: readonly Point[], gradient: Gradient | undefined): number | undefined {
  const { acrossWidth, acrossHeight } = gradient ?? { acrossWidth: 0, acrossHeight: 0 }
  return weightedMedian(
    points.map(({ x, y, level, weight }) => ({ value: level - acrossWidth * x - acrossHeight * y, weight })),
  )
}

/** A figure of every block that has it, at the block's place. */
function pointsOf(
  blocks: readonly BlockBackground[],
  positions: readonly Position[],
  figure: (block: BlockBackground, positions: readonly Position[]) => number,
): Point[] {
  return blocks
    .map((block) => ({ x: block.x, y: block.y, level: figure(block, positions), weight: block.cellCount }))
    .filter(({ level }) => !Number.isNaN(level))
}

function fitPlane(points: readonly Point[]): Gradient | undefined {
  const first = points[0]
  if (!first || points.length < FEWEST_BLOCKS || isInLine(points)) return undefined
  const system = new LinearSystem(3)
  // Levels are taken from the first one, so that small slopes on a high level keep their digits.
  for (const { x, y, level } of points) system.add(Float64Array.of(1, x, y), level - first.level)
  const [middle, acrossWidth, acrossHeight] = system.solve(0) ?? []
  if (middle === undefined || acrossWidth === undefined || acrossHeight === undefined) return undefined
  return { middle: first.level + middle, acrossWidth, acrossHeight }
}

/** Blocks of one row or column, whose places differ by chance alone in the other direction, give no plane. */
function isInLine(points: readonly Point[]): boolean {
  return Math.min(span(points, 'x'), span(points, 'y')) < SMALLEST_SPAN
}

function span(points: readonly Point[], axis: 'x' | 'y'): number {
  let [least, most] = [Infinity, -Infinity]
  for (const point of points) {
    least = Math.min(least, point[axis])
    most = Math.max(most, point[axis])
  }
  return most - least
}

function distancesFrom(points: readonly Point[], { middle, acrossWidth, acrossHeight }: Gradient): number[] {
  return points.map(({ x, y, level }) => Math.abs(level - middle - acrossWidth * x - acrossHeight * y))
}

/** The blocks no farther from the plane than the middle one, and how far that one is. */
function closestHalf(points: readonly Point[], plane: Gradient): { half: Point[]; limit: number } {
  const distances = distancesFrom(points, plane)
  const limit = median(distances) ?? 0
  return { half: points.filter((_, index) => (distances[index] ?? 0) <= limit), limit }
}

function withoutOutliers(points: readonly Point[], plane: Gradient): Point[] {
  const distances = distancesFrom(points, plane)
  const limit = CLIP * NORMAL_PER_MAD * (median(distances) ?? 0) + ROUNDING * Math.abs(plane.middle)
  return points.filter((_, index) => (distances[index] ?? 0) <= limit)
}

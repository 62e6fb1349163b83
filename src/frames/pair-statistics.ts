// What two frames of the same light tell: mean, noise in time, and the pattern that both share.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { decodeInPlace, isMissing, physicalAdu, sampleOf, viewSamples } from '../fits/index.ts'
import type { Samples } from '../fits/index.ts'
import type { RegionFrame } from './region.ts'

export interface FramePair {
  first: RegionFrame
  second: RegionFrame
  saturationAdu: number | undefined
}

export interface PairStatistics {
  /** Pixels that both frames have a value for; without two at least there are no statistics. */
  pixelCount: number
  meanAdu: number
  /** By which the means of the two differ, 0 or more. */
  apartAdu: number
  /** Half the variance of the difference. */
  temporalVarianceAdu2: number
  /** Covariance of the two. */
  spatialVarianceAdu2: number
  maximumAdu: number
  /** Shares of the samples of both frames: at the highest of all, and at the given saturation level or above. */
  atMaximumShare: number
  clippedShare: number | null
}

/** Column of the green pixel in the upper row of a cell; the other one lies in the other column of the lower row. */
const UPPER_GREEN = { RGGB: 1, BGGR: 1, GRBG: 0, GBRG: 0 } as const

interface Sums {
  count: number
  first: number
  second: number
}

/**
 * Decodes both frames and takes their statistics: of all pixels, or of the green ones of a Bayer pattern, those of either
 * row for themselves, as their response may differ.
 *
 * @source EMVA 1288 Release 4.0 Linear (16 June 2021), sections 6.6 and 8.1: variances from a pair of images
 */
export function pairStatistics({ first, second, saturationAdu }: FramePair): PairStatistics {
  const { image, region, bayerPattern } = first
  const pixels = region.widthPx * region.heightPx
  const [one, other] = [first, second].map(({ samples }) => {
    decodeInPlace(samples, image.bitsPerSample, 0, pixels)
    return viewSamples(samples, image.bitsPerSample, 0, pixels)
  }) as [Samples, Samples]
  const field = { one, other, widthPx: region.widthPx, blank: image.blankSample ?? Number.NaN }
  const lattices = bayerPattern ? greenLattices(bayerPattern, region) : [wholeLattice(region)]
  // A row of greens with hardly a valid pixel tells nothing, neither of the mean nor of what clips.
  const measured = lattices
    .map((lattice) => ({ lattice, part: measure(field, lattice) }))
    .filter(({ part }) => part.count > 1)
  const parts = measured.map(({ part }) => part)
  const clippedFrom = saturationAdu === undefined ? Infinity : sampleOf(image.scale, saturationAdu)
  const maximum = parts.reduce((most, part) => Math.max(most, part.maximum), -Infinity)
  const counts = measured.map(({ lattice }) => countFrom(field, lattice, maximum, clippedFrom))
  return inAdu(parts, counts, { maximum, isGiven: saturationAdu !== undefined, scale: image.scale })
}

interface Field {
  one: Samples
  other: Samples
  widthPx: number
  blank: number
}

/** Every `step`-th pixel of every `step`-th row. */
interface Places {
  left: number
  top: number
  step: number
  heightPx: number
}

const wholeLattice = ({ heightPx }: { heightPx: number }): Places => ({ left: 0, top: 0, step: 1, heightPx })

function greenLattices(pattern: keyof typeof UPPER_GREEN, { heightPx }: { heightPx: number }): Places[] {
  const left = UPPER_GREEN[pattern]
  return [
    { left, top: 0, step: 2, heightPx },
    { left: 1 - left, top: 1, step: 2, heightPx },
  ]
}

interface Part {
  count: number
  mean: number
  apart: number
  temporal: number
  spatial: number
  maximum: number
}

/** Means first, then squares about them, so that no digits are lost. */
function measure(field: Field, places: Places): Part {
  const sums: Sums = { count: 0, first: 0, second: 0 }
  let maximum = -Infinity
  eachPair(field, places, (one, other) => {
    sums.count++
    sums.first += one
    sums.second += other
    maximum = Math.max(maximum, one, other)
  })
  const [meanOne, meanOther] = [sums.first / sums.count, sums.second / sums.count]
  let [difference, product] = [0, 0]
  eachPair(field, places, (one, other) => {
    const [fromOne, fromOther] = [one - meanOne, other - meanOther]
    difference += (fromOne - fromOther) ** 2
    product += fromOne * fromOther
  })
  return {
    count: sums.count,
    mean: (meanOne + meanOther) / 2,
    apart: Math.abs(meanOne - meanOther),
    temporal: difference / (2 * (sums.count - 1)),
    spatial: product / (sums.count - 1),
    maximum,
  }
}

function countFrom(field: Field, places: Places, maximum: number, clippedFrom: number) {
  const counts = { atMaximum: 0, clipped: 0 }
  eachPair(field, places, (one, other) => {
    counts.atMaximum += Number(one >= maximum) + Number(other >= maximum)
    counts.clipped += Number(one >= clippedFrom) + Number(other >= clippedFrom)
  })
  return counts
}

function eachPair({ one, other, widthPx, blank }: Field, places: Places, visit: (a: number, b: number) => void): void {
  for (let y = places.top; y < places.heightPx; y += places.step) {
    for (let at = y * widthPx + places.left; at < (y + 1) * widthPx; at += places.step) {
      const [first, second] = [one[at]!, other[at]!]
      if (!isMissing(blank, first) && !isMissing(blank, second)) visit(first, second)
    }
  }
}

function inAdu(
  parts: readonly Part[],
  counts: readonly { atMaximum: number; clipped: number }[],
  { maximum, isGiven, scale }: { maximum: number; isGiven: boolean; scale: RegionFrame['image']['scale'] },
): PairStatistics {
  const pixelCount = parts.reduce((sum, { count }) => sum + count, 0)
  const mean = (figure: (part: Part) => number): number =>
    parts.reduce((sum, part) => sum + part.count * figure(part), 0) / pixelCount
  const share = (figure: 'atMaximum' | 'clipped'): number =>
    counts.reduce((sum, count) => sum + count[figure], 0) / (2 * pixelCount)
  if (pixelCount === 0) return NO_PAIR
  return {
    pixelCount,
    meanAdu: physicalAdu(
      scale,
      mean((part) => part.mean),
    ),
    apartAdu: scale.scaleAdu * mean((part) => part.apart),
    temporalVarianceAdu2: scale.scaleAdu ** 2 * mean((part) => part.temporal),
    spatialVarianceAdu2: scale.scaleAdu ** 2 * mean((part) => part.spatial),
    maximumAdu: physicalAdu(scale, maximum),
    atMaximumShare: share('atMaximum'),
    clippedShare: isGiven ? share('clipped') : null,
  }
}

const NO_PAIR: PairStatistics = {
  ...{ pixelCount: 0, meanAdu: 0, apartAdu: 0, temporalVarianceAdu2: 0, spatialVarianceAdu2: 0, maximumAdu: 0 },
  ...{ atMaximumShare: 0, clippedShare: null },
}

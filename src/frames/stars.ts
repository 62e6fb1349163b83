// What the stars say: how many, how wide, how round, and how much light the brightest unclipped ones give.

import { median } from './median.ts'
import type { StarPeak } from './star-peaks.ts'
import { fitStar } from './star-profile.ts'
import type { StarProfile } from './star-profile.ts'
import { aperture, cutOut, eachPixel, isClipped } from './star-field.ts'
import type { StarField } from './star-field.ts'

/** In units of the samples; places in pixels from the middle of the first pixel, 0. */
export interface MeasuredStar extends StarProfile {
  flux: number
}

export interface MeasuredStars {
  count: number
  clippedCount: number
  /** Stars whose shape was measured. */
  measuredCount: number
  /** Medians over the measured stars; null where none could be measured. */
  fwhmPx: number | null
  eccentricity: number | null
  /** The brightest of those that are unclipped and, where there are enough, stand alone; by falling flux. */
  brightest: MeasuredStar[]
}

/** Enough for a median good to a percent, few enough to cost little. */
const STARS_MEASURED = 24
const BRIGHTEST = 10
/** Bright stars among which those are chosen that stand alone. */
const STARS_TRIED = 400
/** A neighbour of less than this share of a star's height does not disturb it. */
const NEIGHBOR_SHARE = 0.03
/** Height of the brightest cell, in spreads of the background, from which a star's shape is worth fitting. */
const MEASURABLE_HEIGHT = 12
/** First look at a star's width: pixels above half of its peak within this reach. */
const GUESS_REACH = 14
/** Cutouts reach this many widths from the star, within bounds. */
const CUTOUT_WIDTHS = 2
const SMALLEST_REACH = 5
const LARGEST_REACH = 24
/** Moffat exponent 3.3 to begin with: between a Gaussian and the widest wings. */
const FIRST_WING = 0.3
/** Fits that wander off or come out far narrower or wider than the frame's stars are not stars. */
const LARGEST_WANDER_PX = 2.5
const WIDTH_FACTOR = 3
/** Radius of the aperture, in full widths at half maximum: all of a Gaussian's light, 95 % and more of a Moffat's. */
export const APERTURE_WIDTHS = 3

/**
 * Measures the stars that have been found.
 *
 * @param peaks  brightest first
 * @derived the choice of stars and the bounds are ours; the profile's source is given with it
 */
export function measureStars(field: StarField, peaks: readonly StarPeak[]): MeasuredStars {
  const unclipped = peaks.filter((peak) => !isClipped(field, peak))
  const measurable = unclipped.filter((peak) => peak.height >= MEASURABLE_HEIGHT)
  const typicalFwhmPx = median(measurable.slice(0, STARS_MEASURED).map((peak) => guess(field, peak).fwhmPx)) ?? 0
  const alone = measurable.slice(0, STARS_TRIED).filter((peak) => isAlone(peak, peaks, typicalFwhmPx))
  const chosen = alone.length >= BRIGHTEST ? alone : measurable
  const stars = measureEach(field, chosen.slice(0, STARS_MEASURED), typicalFwhmPx)
  const fwhmPx = median(stars.map((star) => star.fwhmPx)) ?? null
  return {
    count: peaks.length,
    clippedCount: peaks.length - unclipped.length,
    measuredCount: stars.length,
    fwhmPx,
    eccentricity: median(stars.map(({ eccentricity }) => eccentricity)) ?? null,
    brightest: stars
      .map((star) => ({ ...star, flux: aperture(field, star, APERTURE_WIDTHS * (fwhmPx ?? 0)) }))
      .sort((one, other) => other.flux - one.flux)
      .slice(0, BRIGHTEST),
  }
}

/** True when no neighbour worth mentioning, clipped or not, lies within the aperture or just beyond. */
function isAlone(peak: StarPeak, peaks: readonly StarPeak[], fwhmPx: number): boolean {
  const reachSquared = (((APERTURE_WIDTHS + 1) * fwhmPx) / 2) ** 2
  for (const other of peaks) {
    if (other.height < NEIGHBOR_SHARE * peak.height) return true
    const distanceSquared = (other.cellX - peak.cellX) ** 2 + (other.cellY - peak.cellY) ** 2
    if (other !== peak && distanceSquared < reachSquared) return false
  }
  return true
}

/** The brightest pixel of a star, with its height and a first idea of its width. */
interface Guess {
  x: number
  y: number
  peak: number
  fwhmPx: number
}

function guess(field: StarField, { cellX, cellY }: StarPeak): Guess {
  const middle = { x: 2 * cellX, y: 2 * cellY }
  let best = { ...middle, peak: 0 }
  eachPixel(field, middle, 2, (x, y, height) => {
    if (height > best.peak) best = { x, y, peak: height }
  })
  let above = 0
  eachPixel(field, best, GUESS_REACH, (_x, _y, height) => {
    if (height > best.peak / 2) above++
  })
  const area = (above * 4) / field.positions.length
  return { ...best, fwhmPx: 2 * Math.sqrt(area / Math.PI) }
}

/** Fits one star after the other; each begins with the shape of the one before, as a frame's stars are much alike. */
function measureEach(field: StarField, peaks: readonly StarPeak[], typicalFwhmPx: number): StarProfile[] {
  const reach = Math.min(LARGEST_REACH, Math.max(SMALLEST_REACH, Math.ceil(CUTOUT_WIDTHS * typicalFwhmPx)))
  const stars: StarProfile[] = []
  for (const star of peaks) {
    const { x, y, peak } = guess(field, star)
    const { fwhmPx, wing } = stars.at(-1) ?? { fwhmPx: typicalFwhmPx, wing: FIRST_WING }
    const profile = fitStar(cutOut(field, { x, y }, reach), { peak, fwhmPx, wing })
    if (!profile || !isStarLike(profile, typicalFwhmPx)) continue
    stars.push({ ...profile, x: x + profile.x, y: y + profile.y })
  }
  return stars
}

function isStarLike({ x, y, fwhmPx }: StarProfile, typicalFwhmPx: number): boolean {
  const isThere = Math.hypot(x, y) <= Math.max(LARGEST_WANDER_PX, typicalFwhmPx)
  return isThere && fwhmPx > typicalFwhmPx / WIDTH_FACTOR && fwhmPx < WIDTH_FACTOR * typicalFwhmPx
}

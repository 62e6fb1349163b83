// A star measured in a round aperture, on many sub-pixel positions.

import type { Draws } from './draws.ts'
import { PoissonCounts } from './poisson-counts.ts'
import type { Measured } from './extended.ts'
import { Moments } from './moments.ts'
import { PixelSeries, type Series } from './pixel-series.ts'
import { shareInSquare, type Profile } from './profile.ts'

export interface StarField extends Series {
  profile: Profile
  /** All electrons of the star, were every pixel like those that are measured. */
  starElectronsPerSecond: number
  /** Of one pixel of the frame: sky, and whatever else lies evenly under the star. */
  skyElectronsPerPixelSecond: number
  apertureRadiusPx: number
  /** Pixels beside the star that tell the background; undefined: it is known. */
  backgroundPixels?: number | undefined
  /** Pixels that see the measured colour. */
  mosaic: Mosaic
}

export interface MeasuredStar extends Measured {
  aperturePixels: number
  capturedFraction: number
}

/** Every pixel of a mono sensor; a quarter, or half, of a Bayer sensor. */
export type Mosaic = 'mono' | 'red' | 'green'

const SEES: Record<Mosaic, (column: number, row: number) => boolean> = {
  mono: () => true,
  red: (column, row) => column % 2 === 0 && row % 2 === 0,
  green: (column, row) => (column + row) % 2 !== 0,
}

interface Position {
  x: number
  y: number
}

/** A grid of positions over one period of the mosaic, each shifted at random within its field. */
export function starPositions(gridSide: number, mosaic: Mosaic, draws: Draws): Position[] {
  const step = (mosaic === 'mono' ? 1 : 2) / gridSide
  return Array.from({ length: gridSide * gridSide }, (_, i) => ({
    x: ((i % gridSide) + draws.uniform()) * step,
    y: (Math.floor(i / gridSide) + draws.uniform()) * step,
  }))
}

/** Pixels of the measured colour whose centre lies in the aperture, as seen from the star. */
export function pixelsInAperture(star: Position, radiusPx: number, mosaic: Mosaic): Position[] {
  const reach = Math.ceil(radiusPx) + 2
  const found: Position[] = []
  for (let column = -reach; column <= reach; column++) {
    for (let row = -reach; row <= reach; row++) {
      const pixel = { x: column - star.x, y: row - star.y }
      if (SEES[mosaic](column, row) && pixel.x ** 2 + pixel.y ** 2 <= radiusPx ** 2) found.push(pixel)
    }
  }
  return found
}

/**
 * Signal and noise of the star in the sum of all subs. The signal is averaged over where the star falls on its pixel;
 * the noise is the scatter of stars that fall alike.
 */
export function photographStar(
  field: StarField,
  { gridSide, repeats }: { gridSide: number; repeats: number },
  draws: Draws,
): MeasuredStar {
  const pixel = new PixelSeries(field, draws)
  const sky = new PoissonCounts((field.skyElectronsPerPixelSecond * field.subSeconds) / pixel.cell.perPixel)
  const signal = new Moments()
  const variance = new Moments()
  const pixels = new Moments()
  const captured = new Moments()
  for (const position of starPositions(gridSide, field.mosaic, draws)) {
    const aperture = pixelsInAperture(position, field.apertureRadiusPx, field.mosaic)
    const shares = aperture.map((at) => cellShares(field, at))
    const counts = shares.map((cells) =>
      cells.map((share) => new PoissonCounts(share * field.starElectronsPerSecond * field.subSeconds)),
    )
    const here = new Moments()
    for (let i = 0; i < repeats; i++) here.add(measureOnce(field, pixel, sky, counts))
    signal.add(here.mean)
    variance.add(here.variance)
    pixels.add(aperture.length)
    captured.add(shares.flat().reduce((sum, share) => sum + share, 0))
  }
  const noiseElectrons = Math.sqrt(variance.mean)
  return {
    signalElectrons: signal.mean,
    noiseElectrons,
    snr: signal.mean / noiseElectrons,
    aperturePixels: pixels.mean,
    capturedFraction: captured.mean,
  }
}

/** The same star in one raw sub. */
export function photographStarSub(
  field: StarField,
  effort: { gridSide: number; repeats: number },
  draws: Draws,
): MeasuredStar {
  return photographStar({ ...field, subCount: 1, combine: 'mean', calibration: {} }, effort, draws)
}

function measureOnce(
  field: StarField,
  pixel: PixelSeries,
  sky: PoissonCounts,
  counts: readonly PoissonCounts[][],
): number {
  let sum = 0
  for (const cells of counts) sum += pixel.stack(sky, cells).withTarget
  return sum - counts.length * background(field, pixel, sky)
}

const NOTHING = new PoissonCounts(0)

/** Level of a pixel without the star, as the picture beside it tells. */
function background(field: StarField, pixel: PixelSeries, sky: PoissonCounts): number {
  const { backgroundPixels } = field
  if (backgroundPixels === undefined) {
    return field.skyElectronsPerPixelSecond * field.subSeconds * field.subCount
  }
  const nothing = Array.from({ length: pixel.cell.perPixel }, () => NOTHING)
  let sum = 0
  for (let i = 0; i < backgroundPixels; i++) sum += pixel.stack(sky, nothing).withTarget
  return sum / backgroundPixels
}

/** Share of the star on each cell of a pixel. */
function cellShares({ profile, sensor }: StarField, at: Position): number[] {
  const parts = sensor.binningKind === 'software' ? sensor.binning : 1
  const side = 1 / parts
  return Array.from({ length: parts * parts }, (_, i) =>
    shareInSquare(profile, {
      x: at.x - 0.5 + ((i % parts) + 0.5) * side,
      y: at.y - 0.5 + (Math.floor(i / parts) + 0.5) * side,
      side,
    }),
  )
}

// What photon transfer is computed from: a ladder of flats, each level with its dark.

import { EngineError, requireInRange } from '../errors.ts'

/** One level of the ladder: statistics of a pair of flats, and of a pair of darks of the same exposure. */
export interface PhotonTransferLevel {
  /** Mean level of the flats, offset included. */
  meanAdu: number
  /** > 0 */
  temporalVarianceAdu2: number
  /** Of the darks. Levels that state the same mean and variance share one pair of darks (or of bias frames). */
  darkMeanAdu: number
  /** > 0 */
  darkTemporalVarianceAdu2: number
  /** Free of temporal noise, as a pair's covariance is; may be negative. */
  spatialVarianceAdu2?: number
  darkSpatialVarianceAdu2?: number
  /** Pixels of a frame, 2 or more; given for all levels or for none. */
  pixelCount?: number
  /** Mean photons on a pixel, > 0, where the light was calibrated. */
  photonsPerPixel?: number
  /** > 0; in its place any measure proportional to the light serves. */
  exposureSeconds?: number
  /** Share of the pixels that stand at the highest code, 0 to 1; given for all levels or for none. */
  clippedShare?: number
}

/**
 * Levels from dark to bright, each checked.
 *
 * @param levels  one or more
 * @returns sorted by mean above the dark
 * @throws {EngineError} `not-enough-data` without a level; `out-of-range`
 * @derived input check
 */
export function orderedLevels(levels: readonly PhotonTransferLevel[]): [PhotonTransferLevel, ...PhotonTransferLevel[]] {
  for (const level of levels) {
    requireInRange('meanAdu', level.meanAdu, -1e9, 1e9)
    requireInRange('darkMeanAdu', level.darkMeanAdu, -1e9, 1e9)
    requireInRange('temporalVarianceAdu2', level.temporalVarianceAdu2, 0, 1e15)
    requireInRange('darkTemporalVarianceAdu2', level.darkTemporalVarianceAdu2, 1e-12, 1e15)
    requireInRange('spatialVarianceAdu2', level.spatialVarianceAdu2 ?? 0, -1e15, 1e15)
    requireInRange('darkSpatialVarianceAdu2', level.darkSpatialVarianceAdu2 ?? 0, -1e15, 1e15)
    requireInRange('pixelCount', level.pixelCount ?? 2, 2, 1e12)
    requireInRange('photonsPerPixel', level.photonsPerPixel ?? 1, 1e-9, 1e15)
    requireInRange('exposureSeconds', level.exposureSeconds ?? 1, 1e-9, 1e9)
    requireInRange('clippedShare', level.clippedShare ?? 0, 0, 1)
  }
  requireAllOrNone(
    'pixelCount',
    levels.map(({ pixelCount }) => pixelCount),
  )
  requireAllOrNone(
    'clippedShare',
    levels.map(({ clippedShare }) => clippedShare),
  )
  const [faintest, ...others] = [...levels].sort((a, b) => signalAdu(a) - signalAdu(b))
  if (faintest === undefined) throw new EngineError('not-enough-data', 'Photon transfer needs at least one level.')
  return [faintest, ...others]
}

function requireAllOrNone(field: string, values: readonly (number | undefined)[]): void {
  const given = values.filter((value) => value !== undefined).length
  if (given > 0) requireInRange(`number of levels with ${field}`, given, values.length, values.length)
}

/**
 * Level above the dark.
 *
 * @returns ADU
 * @source EMVA 1288 Release 4.0 Linear, μ_y − μ_y.dark
 */
export function signalAdu(level: PhotonTransferLevel): number {
  return level.meanAdu - level.darkMeanAdu
}

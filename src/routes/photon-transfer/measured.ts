// Measured pairs as the JSON form of the question has them.

import type { PhotonTransferFields } from '../../contract/photon-transfer-form.ts'
import { isSameExposure } from '../../fits/index.ts'
import { Notes } from '../../setup/notes.ts'
import { requireInRange } from './in-range.ts'
import { lampDrift, type LampDrift } from './lamp-drift.ts'
import { PILED_UP_SHARE } from './pair-checks.ts'
import type { Pair } from './pairing.ts'
import type { Ladder, MeasuredLadder } from './request.ts'

type Darkness = Pick<Ladder['levels'][number], 'darkMeanAdu' | 'darkTemporalVarianceAdu2' | 'darkSpatialVarianceAdu2'>

/** Temperatures of darks that count as one. */
const SAME_CELSIUS = 1

/**
 * @throws {ProblemError} `invalid-request` without flats or what goes with them, `no-answer` for pairs without noise or with
 *   more drift than noise, and for figures out of range
 */
export function measuredLadder(pairs: readonly Pair[], fields: PhotonTransferFields): MeasuredLadder {
  const notes = new Notes()
  for (const pair of pairs) requireNoise(pair, notes)
  const of = (kind: Pair['kind']): Pair[] => pairs.filter((pair) => pair.kind === kind)
  const flats = of('flat')
  if (flats.length === 0)
    notes.missing('/flat', 'give two flats or more: both of one exposure right after each other, then both of the next')
  const biases = of('bias')
  const dark = flats.map((flat) => darksOf(flat, of('dark'), biases))
  if (dark.some((pairs) => pairs.length === 0)) {
    notes.missing('/bias', 'give two bias frames, or two darks as long as each pair of flats')
  }
  notes.settle()
  const ladder = darkLadder(of('dark'), biases)
  const darksCelsius = fields.darksCelsius ?? commonCelsius(of('dark'))
  const clipped = clippedShares(flats, fields)
  const measuredFlats = flats.map((flat, index) => {
    const darkness = darknessOf(dark[index] ?? [])
    return { flat, darkness, drift: lampDrift(flat, darkness, notes) }
  })
  notes.settle()
  const request = {
    levels: measuredFlats.map(({ flat, darkness, drift }, index) => ({
      ...levelOf(flat, drift),
      ...clipped[index],
      ...darkness,
    })),
    ...(ladder.length > 0 && { darks: ladder.map((entry) => entry.dark) }),
    ...(ladder.length > 0 && darksCelsius !== null && { darksCelsius }),
    ...(fields.bitDepth !== undefined && { bitDepth: fields.bitDepth }),
  }
  const measured = {
    request,
    levelPointers: flats.map(({ pointer }) => pointer),
    darkPointers: ladder.map(({ pointer }) => pointer),
    drifts: measuredFlats.flatMap(({ drift }) => drift?.told ?? []),
  }
  requireInRange(measured, notes)
  return measured
}

/** The same file sent twice has no noise; a flat that is clipped throughout has none either, and tells the full well. */
function requireNoise({ pointer, statistics }: Pair, notes: Notes): void {
  const { temporalVarianceAdu2, atMaximumShare } = statistics
  if (temporalVarianceAdu2 > 0 || atMaximumShare === 1) return
  notes.contradictory(pointer, 'the two frames of this pair do not differ at all: is it one file twice?')
}

function levelOf({ exposureSeconds, statistics }: Pair, drift: LampDrift | null) {
  const { meanAdu, spatialVarianceAdu2, pixelCount } = statistics
  const temporalVarianceAdu2 = statistics.temporalVarianceAdu2 - (drift?.varianceAdu2 ?? 0)
  return {
    ...{ meanAdu, temporalVarianceAdu2, spatialVarianceAdu2, pixelCount },
    ...(exposureSeconds !== null && exposureSeconds > 0 && { exposureSeconds }),
  }
}

/**
 * Of every level, or of none: pixels whose well fills before the converter clips pile up nowhere, and the fall of the
 * variance tells their saturation.
 */
function clippedShares(flats: readonly Pair[], { saturationAdu }: PhotonTransferFields): { clippedShare?: number }[] {
  if (saturationAdu !== undefined) {
    return flats.map(({ statistics }) => ({ clippedShare: statistics.clippedShare ?? 0 }))
  }
  const highestAdu = Math.max(...flats.map(({ statistics }) => statistics.maximumAdu))
  const shares = flats.map(({ statistics }) => (statistics.maximumAdu === highestAdu ? statistics.atMaximumShare : 0))
  return Math.max(...shares) > PILED_UP_SHARE ? shares.map((clippedShare) => ({ clippedShare })) : flats.map(() => ({}))
}

/** Darks as long as the flat where there are any, else the bias frames. */
function darksOf(flat: Pair, darks: readonly Pair[], biases: readonly Pair[]): readonly Pair[] {
  const asLong = darks.filter(({ exposureSeconds }) => isSame(exposureSeconds, flat.exposureSeconds))
  return asLong.length > 0 ? asLong : biases
}

function darknessOf(dark: readonly Pair[]): Darkness {
  return {
    darkMeanAdu: mean(dark, ({ meanAdu }) => meanAdu),
    darkTemporalVarianceAdu2: mean(dark, ({ temporalVarianceAdu2 }) => temporalVarianceAdu2),
    darkSpatialVarianceAdu2: mean(dark, ({ spatialVarianceAdu2 }) => spatialVarianceAdu2),
  }
}

function isSame(one: number | null, other: number | null): boolean {
  return one !== null && other !== null && isSameExposure(one, other)
}

function mean(pairs: readonly Pair[], figure: (statistics: Pair['statistics']) => number): number {
  return pairs.reduce((sum, { statistics }) => sum + figure(statistics), 0) / pairs.length
}

/** Darks of two exposures or more, bias frames counting as none; else nothing to see a dark current grow on. */
function darkLadder(darks: readonly Pair[], biases: readonly Pair[]) {
  const all = [...(darks.length > 0 ? biases : []), ...darks].map(({ pointer, exposureSeconds, statistics }) => ({
    pointer,
    dark: {
      subSeconds: exposureSeconds ?? 0,
      meanAdu: statistics.meanAdu,
      temporalVarianceAdu2: statistics.temporalVarianceAdu2,
      pixelCount: statistics.pixelCount,
    },
  }))
  return new Set(all.map(({ dark }) => dark.subSeconds)).size > 1 ? all : []
}

function commonCelsius(darks: readonly Pair[]): number | null {
  const known = darks.flatMap(({ temperatureCelsius }) => (temperatureCelsius === null ? [] : [temperatureCelsius]))
  if (known.length === 0 || Math.max(...known) - Math.min(...known) > SAME_CELSIUS) return null
  return known.reduce((sum, celsius) => sum + celsius, 0) / known.length
}

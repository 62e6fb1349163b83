// The colour planes of a camera behind a filter, each with its response.

import type { BayerColor } from './bayer.ts'
import { BAYER_DYES, BAYER_SAMPLING_FRACTIONS } from './bayer.ts'
import type { NumberOrCurve } from './curve.ts'
import { requireShare } from './curve.ts'
import type { Filter } from './filter-bands.ts'
import { filterTransmission } from './filter-bands.ts'
import type { InfraredBlocker } from './infrared-blocker.ts'
import { blockerTransmission } from './infrared-blocker.ts'
import type { Response } from './response.ts'
import { responseOf } from './response.ts'

/** What stands between the sky and the electrons of a camera. */
export interface LightPath {
  readonly color: 'mono' | 'bayer'
  /** Electrons per photon at the sensor, 0 to 1; a table is 0 outside its ends. */
  readonly quantumEfficiency: NumberOrCurve
  /** Mirrors, glass, reducers; not the central obstruction. A table is 0 outside its ends. */
  readonly opticsTransmission: NumberOrCurve
  readonly filter: Filter
  readonly infraredBlocker: InfraredBlocker
}

/** One colour plane. */
export interface Channel {
  readonly channel: 'mono' | BayerColor
  /** Share of all pixels that belong to it. */
  readonly samplingFraction: number
  readonly response: Response
}

const KEPT_LIGHT_PATHS = 512
/** Light paths with more than some 200 points in their tables are worked out anew each time, so that the memo stays small. */
const LONGEST_KEPT_KEY = 8192

// The same few cameras and filters come back in question after question, and a response carries its integrals with
// it. Like those, this memo changes no result and is bounded.
const keptChannels = new Map<string, readonly Channel[]>()

/**
 * Colour planes of a camera behind its optics and filter.
 *
 * @param path  what the light passes
 * @returns one plane for a mono sensor; red, green and blue for a Bayer sensor, behind their dyes
 * @throws {EngineError} `out-of-range` or `not-enough-data` for a factor that is no share or no table of shares
 * @derived independent losses multiply; a Bayer cell is one red, two green, one blue pixel
 */
export function channelsOf(path: LightPath): readonly Channel[] {
  const { color, quantumEfficiency, opticsTransmission, filter, infraredBlocker } = path
  requireShare('quantumEfficiency', quantumEfficiency)
  requireShare('opticsTransmission', opticsTransmission)
  const [tables, number] = parted([quantumEfficiency, opticsTransmission])
  const channels = keptOrNew([color, ...tables, filter, infraredBlocker].map(keyOf).join('|'), () =>
    newChannels(path, tables),
  )
  if (number === 1) return channels
  return channels.map((channel) => ({
    ...channel,
    response: { ...channel.response, scale: channel.response.scale * number },
  }))
}

type Table = Exclude<NumberOrCurve, number>

/** The tables among some factors, and the product of the numbers: set-ups that differ by these share all integrals. */
function parted(factors: readonly NumberOrCurve[]): [tables: (Table | 1)[], number: number] {
  let number = 1
  const tables = factors.map((factor) => {
    if (typeof factor !== 'number') return factor
    number *= factor
    return 1
  })
  return [tables, number]
}

function keptOrNew(key: string, make: () => readonly Channel[]): readonly Channel[] {
  const kept = keptChannels.get(key)
  if (kept !== undefined) return kept
  const channels = make()
  if (key.length > LONGEST_KEPT_KEY) return channels
  for (const oldest of keptChannels.keys()) {
    if (keptChannels.size < KEPT_LIGHT_PATHS) break
    keptChannels.delete(oldest)
  }
  keptChannels.set(key, channels)
  return channels
}

const keyOf = (part: LightPath[keyof LightPath]) => (typeof part === 'object' ? JSON.stringify(part) : part)

function newChannels(path: LightPath, tables: readonly NumberOrCurve[]): readonly Channel[] {
  const factors = [...tables, filterTransmission(path.filter), blockerTransmission(path.infraredBlocker)]
  if (path.color === 'mono') return [{ channel: 'mono', samplingFraction: 1, response: responseOf(factors) }]
  return (['red', 'green', 'blue'] as const).map((channel) => ({
    channel,
    samplingFraction: BAYER_SAMPLING_FRACTIONS[channel],
    response: responseOf([...factors, BAYER_DYES[channel]]),
  }))
}

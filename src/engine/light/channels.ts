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
// it. Like those, these memos change no result; the first is bounded, and what the second holds goes with its table.
const keptChannels = new Map<string, readonly Channel[]>()
const textOfChecked = new WeakMap<Table, string>()

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
  const efficiency = checked('quantumEfficiency', quantumEfficiency)
  const optics = checked('opticsTransmission', opticsTransmission)
  const blocker = typeof infraredBlocker === 'string' ? infraredBlocker : JSON.stringify(infraredBlocker)
  const key = `${color}|${efficiency.text}|${optics.text}|${JSON.stringify(filter)}|${blocker}`
  const channels = keptOrNew(key, () => newChannels(path, [efficiency.table, optics.table]))
  const number = efficiency.number * optics.number
  if (number === 1) return channels
  return channels.map(({ channel, samplingFraction, response: { pieces, scale } }) => ({
    channel,
    samplingFraction,
    response: { pieces, scale: scale * number },
  }))
}

type Table = Exclude<NumberOrCurve, number>

/** A factor as a table and a number beside it: set-ups that differ by the number share all integrals. */
interface Checked {
  readonly table: Table | 1
  /** Of the table. */
  readonly text: string
  readonly number: number
}

function checked(field: string, factor: NumberOrCurve): Checked {
  if (typeof factor === 'number') {
    requireShare(field, factor)
    return { table: 1, text: '', number: factor }
  }
  let text = textOfChecked.get(factor)
  if (text === undefined) {
    requireShare(field, factor)
    text = JSON.stringify(factor)
    textOfChecked.set(factor, text)
  }
  return { table: factor, text, number: 1 }
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

function newChannels(path: LightPath, tables: readonly NumberOrCurve[]): readonly Channel[] {
  const factors = [...tables, filterTransmission(path.filter), blockerTransmission(path.infraredBlocker)]
  if (path.color === 'mono') return [{ channel: 'mono', samplingFraction: 1, response: responseOf(factors) }]
  return (['red', 'green', 'blue'] as const).map((channel) => ({
    channel,
    samplingFraction: BAYER_SAMPLING_FRACTIONS[channel],
    response: responseOf([...factors, BAYER_DYES[channel]]),
  }))
}

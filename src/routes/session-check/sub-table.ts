// The subs of a request as columns of numbers: there may be thousands, and most of a check is spent on going through them.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import type { z } from 'zod'
import type { SessionSubSchema } from '../../contract/session-check-sub.ts'
import { ColumnMemory } from '../../engine/index.ts'
import { epochReader } from '../../setup/epoch.ts'
import { NumberedWords } from '../../setup/numbered-words.ts'

type SubRequest = z.infer<typeof SessionSubSchema>

export const TABLE_COLUMNS = [
  'startSeconds',
  'subSeconds',
  /** Index into the labels. */
  'filter',
  'backgroundAdu',
  /** Of `frame`; there wherever a frame is. */
  'frameAdu',
  'backgroundElectronsPerPixelSecond',
  'sensorCelsius',
  'relativeStarFlux',
  'relativeFwhm',
  'fwhmArcsec',
  'guidingErrorArcsec',
  'clippedShare',
  'frameClippedShare',
  /** 1 or 0. */
  'accepted',
] as const

export type TableColumn = (typeof TABLE_COLUMNS)[number]

/** A number for each sub as the request lists them; NaN where it says nothing. */
export type SubColumns = Readonly<Record<TableColumn, Float64Array>>

export interface SubTable {
  count: number
  columns: SubColumns
  /** Labels of filters, each once. */
  labels: readonly string[]
}

/** Subs that were read one by one. */
export function tableOf(subs: readonly SubRequest[]): SubTable {
  const count = subs.length
  const columns = emptyColumns(count)
  const labels = new NumberedWords()
  const epochSeconds = epochReader()
  for (let at = 0; at < count; at++) {
    const sub = subs[at]!
    const { filter, frame } = sub
    columns.startSeconds[at] = epochSeconds(sub.startedAt)
    columns.subSeconds[at] = sub.subSeconds
    columns.filter[at] = filter === undefined ? NaN : labels.indexOf(filter)
    columns.backgroundAdu[at] = sub.backgroundAdu ?? NaN
    columns.frameAdu[at] = frame?.background.adu ?? NaN
    columns.backgroundElectronsPerPixelSecond[at] = sub.backgroundElectronsPerPixelSecond ?? NaN
    columns.sensorCelsius[at] = sub.sensorCelsius ?? NaN
    columns.relativeStarFlux[at] = sub.relativeStarFlux ?? NaN
    columns.relativeFwhm[at] = sub.relativeFwhm ?? NaN
    columns.fwhmArcsec[at] = sub.fwhmArcsec ?? NaN
    columns.guidingErrorArcsec[at] = sub.guidingErrorArcsec ?? NaN
    columns.clippedShare[at] = sub.clippedShare ?? NaN
    columns.frameClippedShare[at] = frame?.clippedShare ?? NaN
    columns.accepted[at] = Number(sub.accepted ?? true)
  }
  return { count, columns, labels: labels.list }
}

export function emptyColumns(count: number): SubColumns {
  const memory = new ColumnMemory(8 * count * TABLE_COLUMNS.length)
  return Object.fromEntries(TABLE_COLUMNS.map((name) => [name, memory.float64(count)])) as unknown as SubColumns
}

/** Whether any sub says something of it. */
export function isSaid(column: Float64Array): boolean {
  for (let at = 0; at < column.length; at++) if (!Number.isNaN(column[at])) return true
  return false
}

/** One column, and where it says nothing another; the very column where that never happens. */
export function eitherOf(column: Float64Array, other: Float64Array): Float64Array {
  if (!isSaid(other)) return column
  const either = column.slice()
  for (let at = 0; at < either.length; at++) if (Number.isNaN(either[at])) either[at] = other[at]!
  return either
}

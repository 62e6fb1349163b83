// What may stand in each field of a line. It is read from the schema of a line, so it is said in one place.

import { nearest } from '../../../contract/nearest.ts'
import { loggedSubFields } from '../../../contract/session-log.ts'
import { rowFields } from '../../../setup/rows/row-fields.ts'
import { COLUMNS, type ColumnName, type Said } from './sub-log.ts'

/** Columns that go by another name than their field: numbers, in its place. */
const OTHER_NAMES: Readonly<Record<string, ColumnName>> = {
  startedAt: 'startSeconds',
  accepted: 'isAccepted',
  interrupted: 'isSpoiled',
  rejectedFor: 'reason',
}

/** The fields of a line by name. */
export const LINE_FIELDS = rowFields(loggedSubFields, (name) =>
  COLUMNS.indexOf(OTHER_NAMES[name] ?? (name as ColumnName)),
)

export const REQUIRED_FIELDS = [...LINE_FIELDS].filter(([, { isRequired }]) => isRequired)

/** What may not be given together: two ways to say the same. */
export const EITHER_FIELDS = [
  ['backgroundAdu', 'backgroundElectronsPerPixelSecond'],
  ['fwhmArcsec', 'relativeFwhm'],
] as const

const isSaid = (said: Said, column: number) => !Number.isNaN(said[column])
const REQUIRED_COLUMNS = REQUIRED_FIELDS.map(([, { column }]) => column)
const EITHER_COLUMNS = EITHER_FIELDS.map((names) => names.map((name) => COLUMNS.indexOf(name)))

/** Whether allowed values together make a line. */
export function isLine(said: Said): boolean {
  return (
    REQUIRED_COLUMNS.every((column) => isSaid(said, column)) &&
    !EITHER_COLUMNS.some((columns) => columns.every((column) => isSaid(said, column)))
  )
}

const NAMES = [...LINE_FIELDS.keys()]

/** What a name that is not known may have been meant for. */
export function meantBy(name: string): string {
  const close = nearest(name, NAMES)
  return close === undefined ? `known here: ${NAMES.map((it) => `\`${it}\``).join(', ')}` : `did you mean \`${close}\`?`
}

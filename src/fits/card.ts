// One card of a FITS header: 80 characters, a keyword and perhaps a value.
// FITS Standard 4.0 (IAU FITS Working Group 2018), sections 4.1 and 4.2. Values are read in free format, of which the
// fixed format is a case.

/** A value as the card gives it; `complex` numbers and what cannot be read are told apart from absent values. */
export type CardValue =
  | { type: 'string'; value: string }
  | { type: 'number'; value: number }
  | { type: 'logical'; value: boolean }
  | { type: 'complex' }
  | { type: 'undefined' }
  | { type: 'unreadable'; text: string }

export interface Card {
  keyword: string
  /** Absent on comment cards: those without the value indicator "= " in columns 9 and 10. */
  value?: CardValue
}

const LONGEST_SHOWN = 40

/** A value in words, fit to be shown: without control characters, and cut where it is long. */
export function shownValue(value: CardValue): string {
  if (value.type === 'number' || value.type === 'logical') return String(value.value)
  if (value.type === 'complex' || value.type === 'undefined') return `(${value.type})`
  const plain = (value.type === 'string' ? value.value : value.text).replace(/[^\p{L}\p{N}\p{P}\p{S} ]/gu, '').trim()
  return `“${plain.length > LONGEST_SHOWN ? `${plain.slice(0, LONGEST_SHOWN)}…` : plain}”`
}

export const CARD_BYTES = 80

const KEYWORD_COLUMNS = 8
const KEYWORD = /^[A-Z0-9_-]* *$/
const STRING_FIELD = /^'((?:[^']|'')*)' *(?:\/.*)?$/
const INTEGER_OR_REAL = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[EDed][+-]?\d+)?$/

/**
 * Reads one card.
 *
 * @param text  the card's 80 characters
 * @returns keyword without its padding (empty where the columns hold no keyword of the standard) and value
 * @source FITS Standard 4.0 (IAU FITS Working Group 2018), sections 4.1.2 and 4.2
 */
export function parseCard(text: string): Card {
  const columns = text.slice(0, KEYWORD_COLUMNS)
  const keyword = KEYWORD.test(columns) ? columns.trimEnd() : ''
  if (text.slice(KEYWORD_COLUMNS, KEYWORD_COLUMNS + 2) !== '= ') return { keyword }
  return { keyword, value: parseValue(text.slice(KEYWORD_COLUMNS + 2)) }
}

/**
 * The text a CONTINUE card adds to the string before it.
 *
 * @returns the text, or undefined where the card holds no string
 * @source FITS Standard 4.0 (IAU FITS Working Group 2018), section 4.2.1.2
 */
export function continuedText(card: string): string | undefined {
  const value = parseValue(card.slice(KEYWORD_COLUMNS + 2))
  return value.type === 'string' ? value.value : undefined
}

function parseValue(columns: string): CardValue {
  const field = columns.trim()
  if (field.startsWith("'")) return parseString(field)
  const token = (field.split('/', 1)[0] ?? '').trim()
  if (token === '') return { type: 'undefined' }
  if (token === 'T' || token === 'F') return { type: 'logical', value: token === 'T' }
  if (token.startsWith('(')) return { type: 'complex' }
  return parseNumber(token)
}

function parseString(field: string): CardValue {
  const quoted = STRING_FIELD.exec(field)?.[1]
  if (quoted === undefined) return { type: 'unreadable', text: field }
  return { type: 'string', value: quoted.replaceAll("''", "'").trimEnd() }
}

function parseNumber(token: string): CardValue {
  const value = INTEGER_OR_REAL.test(token) ? Number(token.replace(/[Dd]/, 'E')) : Number.NaN
  return Number.isFinite(value) ? { type: 'number', value } : { type: 'unreadable', text: token }
}

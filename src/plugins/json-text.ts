// Reads JSON text as strictly as JSON.parse, and says where it breaks. Beyond it, a name that an object gives twice is
// refused: JSON.parse would keep the last one in silence.

import { ProblemError } from '../contract/problem.ts'
import { scanJson } from './json-scan.ts'

/**
 * @param what  the thing that is read, as it begins a sentence
 * @throws {ProblemError} `unreadable-request` with line and column of the fault; `invalid-request` for a doubled name
 */
export function parseJson(text: string, what: string): unknown {
  const json = text.startsWith('\uFEFF') ? text.slice(1) : text
  let value: unknown
  try {
    value = JSON.parse(json)
  } catch {
    throw brokenJson(json, what)
  }
  if (countNames(json) !== countFields(value)) refuseDoubledNames(json)
  return value
}

function brokenJson(json: string, what: string): ProblemError {
  if (json.trim() === '') return new ProblemError('unreadable-request', `${what} is empty; a JSON object is wanted.`)
  const { offset, expected } = scanJson(json).fault ?? { offset: json.length, expected: 'JSON' }
  const before = json.slice(0, offset).split(/\r\n|\n|\r/)
  const line = before.length
  const column = (before.at(-1) ?? '').length + 1
  const found = offset >= json.length ? 'the text ends' : `${JSON.stringify(json.slice(offset, offset + 12))} stands`
  return new ProblemError(
    'unreadable-request',
    `${what} is not JSON: at line ${line}, column ${column} ${found} where ${expected} is wanted.`,
  )
}

function refuseDoubledNames(json: string): void {
  const { doubled } = scanJson(json)
  const errors = doubled.map((pointer) => ({ pointer, message: 'given twice; leave one of them out' }))
  throw new ProblemError('invalid-request', 'A field is given twice.', errors)
}

/** How many `"name":` a valid JSON text holds. */
function countNames(json: string): number {
  let names = 0
  for (let open = json.indexOf('"'); open !== -1;) {
    const close = endOfString(json, open)
    let after = close + 1
    while (json.charCodeAt(after) <= 0x20) after++
    if (json.charCodeAt(after) === 0x3a) names++
    open = json.indexOf('"', after)
  }
  return names
}

function endOfString(json: string, open: number): number {
  for (let quote = json.indexOf('"', open + 1); ; quote = json.indexOf('"', quote + 1)) {
    let escapes = 0
    while (json.charCodeAt(quote - 1 - escapes) === 0x5c) escapes++
    if (escapes % 2 === 0) return quote
  }
}

/** How many fields the parsed value holds; no recursion, so that depth costs no stack. */
function countFields(value: unknown): number {
  let fields = 0
  const waiting = [value]
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    if (typeof next !== 'object' || next === null) continue
    const isList = Array.isArray(next)
    for (const item of Object.values(next)) {
      if (!isList) fields++
      if (typeof item === 'object' && item !== null) waiting.push(item)
    }
  }
  return fields
}

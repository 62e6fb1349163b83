import { QuickJson } from './quick-json.ts'
import { readLine } from './read-line.ts'
import { SubLog } from './sub-log.ts'

/** Reads a log whose lines come as values of JSON. */
export class JsonLogReader {
  readonly log = new SubLog(true)
  readonly #quick = new QuickJson(this.log)

  /** As `QuickJson.take`. */
  takeQuickly(text: string, from: number): number {
    return this.#quick.take(text, from)
  }

  take(value: unknown): void {
    this.log.countLine()
    readLine(value, this.log.lineCount - 1, this.log)
  }
}

/** A log that came as a list. */
export function readJsonLog(subs: readonly unknown[]): SubLog {
  const reader = new JsonLogReader()
  for (const value of subs) reader.take(value)
  return reader.log
}

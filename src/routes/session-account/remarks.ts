import type { z } from 'zod'
import type { SessionAccountAnswerSchema } from '../../contract/session-account.ts'

export type LogRemark = z.infer<typeof SessionAccountAnswerSchema>['log']['remarks'][number]
export type RemarkKind = LogRemark['kind']

/** Lines that are named for each kind. */
const MOST_LINES = 20

/** Odd things about lines, counted. */
export class Remarks {
  readonly #found = new Map<RemarkKind, { count: number; lines: number[] }>()

  add(kind: RemarkKind, line: number): void {
    let found = this.#found.get(kind)
    if (found === undefined) {
      found = { count: 0, lines: [] }
      this.#found.set(kind, found)
    }
    found.count++
    if (found.lines.length < MOST_LINES) found.lines.push(line)
  }

  said(explanations: Readonly<Record<RemarkKind, string>>): LogRemark[] {
    return [...this.#found].map(([kind, { count, lines }]) => ({
      kind,
      subCount: count,
      lines,
      explanation: explanations[kind],
    }))
  }
}

import { pointerStep } from '../../../contract/pointer.ts'

export interface BadLine {
  line: number
  pointer?: string
  message: string
}

/** More messages than these help nobody. */
const MOST_MESSAGES = 200

/** Lines that cannot be used, and what is wrong with them. */
export class BadLines {
  readonly messages: BadLine[] = []
  /** Lines that there was no room to say anything of. */
  readonly further: number[] = []
  count = 0
  readonly #isJson: boolean
  #last: number | null = null

  constructor(isJson: boolean) {
    this.#isJson = isJson
  }

  /** Everything wrong with a line is told in one go. */
  add(line: number, field: string, message: string): void {
    if (line !== this.#last) this.count++
    if (this.messages.length < MOST_MESSAGES) this.messages.push(this.#message(line, field, message))
    else if (line !== this.#last && line !== this.messages.at(-1)?.line) this.further.push(line)
    this.#last = line
  }

  #message(line: number, field: string, message: string): BadLine {
    if (!this.#isJson) return { line, message: field === '' ? message : `${field}: ${message}` }
    return { line, pointer: `/subs/${line}${field === '' ? '' : pointerStep(field)}`, message }
  }
}

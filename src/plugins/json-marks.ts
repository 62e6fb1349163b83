// Finds the characters that part the values of a JSON text from each other, in a text that comes in pieces. What stands in
// strings is passed over.

/** A table of characters to stop at: 1 for each code that is one. */
export type Marks = Uint8Array

export function marksOf(characters: string): Marks {
  const marks = new Uint8Array(65_536)
  for (const character of `${characters}"`) marks[character.charCodeAt(0)] = 1
  return marks
}

export class JsonMarks {
  /** What is not yet cut off. */
  text = ''
  /** Behind the mark found last; may be moved on to where another value begins. */
  at = 0
  #isInString = false
  #stringFrom = 0

  push(piece: string): void {
    this.text += piece
  }

  /** The next mark outside of strings; undefined where there is none yet. */
  next(marks: Marks): string | undefined {
    for (;;) {
      if (this.#isInString && !this.#endString()) return undefined
      let at = this.at
      while (at < this.text.length && marks[this.text.charCodeAt(at)] === 0) at++
      const mark = this.text[at]
      this.at = mark === undefined ? at : at + 1
      if (mark !== '"') return mark
      this.#isInString = true
      this.#stringFrom = this.at
    }
  }

  /** What stands in the string that ended last, as long as nothing was cut off since. */
  get lastString(): string {
    return this.text.slice(this.#stringFrom, this.text.indexOf('"', this.#stringFrom))
  }

  /** Forgets the beginning of the text. */
  cutOff(characters: number): void {
    this.text = this.text.slice(characters)
    this.at -= characters
    this.#stringFrom -= characters
  }

  #endString(): boolean {
    for (let quote = this.text.indexOf('"', this.at); quote !== -1; quote = this.text.indexOf('"', quote + 1)) {
      let escapes = 0
      while (this.text[quote - 1 - escapes] === '\\') escapes++
      if (escapes % 2 === 1) continue
      this.at = quote + 1
      this.#isInString = false
      return true
    }
    this.at = this.text.length
    return false
  }
}

/** Words by number, each once. */
export class NumberedWords {
  readonly list: string[] = []
  readonly #indices = new Map<string, number>()

  /** The number of a word; a word not known so far gets one. */
  indexOf(word: string): number {
    const known = this.#indices.get(word)
    if (known !== undefined) return known
    this.#indices.set(word, this.list.length)
    return this.list.push(word) - 1
  }

  /** The number of a word; NaN for one not known so far. */
  known(word: string): number {
    return this.#indices.get(word) ?? NaN
  }
}

// A FITS header: cards in blocks of 2880 bytes, closed by END.
// FITS Standard 4.0 (IAU FITS Working Group 2018), sections 3.1, 3.3.1, 4.1 and 4.4.1.
// Lenient where a picture can still be read without doubt: free format is taken everywhere, and cards that break the
// standard are passed over unless one of them decides how the data are read.

import { CARD_BYTES, continuedText, parseCard } from './card.ts'
import type { CardValue } from './card.ts'
import { FitsError } from './errors.ts'

export const BLOCK_BYTES = 2880

/** Header blocks that are read before giving up: 2304 cards, far above what a camera or a stack writes. */
export const MAXIMUM_HEADER_BLOCKS = 64

/** The values of a header by keyword, with the order of the cards kept for the mandatory ones. */
export class FitsHeader {
  private readonly entries: { keyword: string; value: CardValue | undefined }[]

  constructor(cards: readonly string[]) {
    this.entries = joinContinued(cards)
  }

  /** Keyword of the card at `index`, from 0; empty beyond the last. */
  keywordAt(index: number): string {
    return this.entries[index]?.keyword ?? ''
  }

  /** Values of every card with this keyword, in order. */
  values(keyword: string): CardValue[] {
    return this.entries.flatMap((entry) => (entry.keyword === keyword && entry.value ? [entry.value] : []))
  }

  /** True when the keyword's first card holds the logical T. */
  isTrue(keyword: string): boolean {
    const value = this.values(keyword)[0]
    return value?.type === 'logical' && value.value
  }

  /**
   * A number that decides how the data are read.
   *
   * @returns undefined where the keyword is absent or its value is undefined
   * @throws {FitsError} `value-unreadable`, `keyword-repeated`
   */
  decisiveNumber(keyword: string): number | undefined {
    let found: number | undefined
    for (const value of this.values(keyword)) {
      if (value.type === 'undefined') continue
      if (value.type !== 'number') throw unreadable(keyword, value)
      if (found !== undefined && found !== value.value) {
        throw new FitsError('keyword-repeated', `${keyword} is given as ${found} and as ${value.value}.`, {
          card: keyword,
          given: value.value,
          allowed: 'one value',
        })
      }
      found = value.value
    }
    return found
  }
}

/**
 * Looks for the END card among the complete cards of what has come so far.
 *
 * @param bytes  the body's first bytes
 * @param fromCard  first card to look at, from 0
 * @returns index of the END card, or -1
 * @source FITS Standard 4.0 (IAU FITS Working Group 2018), section 4.4.1.1
 */
export function findEndCard(bytes: Uint8Array, fromCard: number): number {
  const cardCount = Math.floor(bytes.length / CARD_BYTES)
  for (let card = fromCard; card < cardCount; card++) {
    const start = card * CARD_BYTES
    const isEnd = bytes[start] === 0x45 && bytes[start + 1] === 0x4e && bytes[start + 2] === 0x44
    if (isEnd && bytes.subarray(start + 3, start + 8).every((byte) => byte === 0x20)) return card
  }
  return -1
}

/**
 * Reads the cards before END.
 *
 * @param bytes  at least `endCard` cards
 * @param endCard  index of the END card
 * @returns the header; its values are not judged yet
 * @source FITS Standard 4.0 (IAU FITS Working Group 2018), section 4.1
 */
export function parseHeader(bytes: Uint8Array, endCard: number): FitsHeader {
  const text = Buffer.from(bytes.buffer, bytes.byteOffset, endCard * CARD_BYTES).toString('latin1')
  const cards = Array.from({ length: endCard }, (_, card) => text.slice(card * CARD_BYTES, (card + 1) * CARD_BYTES))
  return new FitsHeader(cards)
}

/** The error for a decisive keyword whose value is of the wrong type. */
function unreadable(keyword: string, value: CardValue): FitsError {
  const given = value.type === 'unreadable' ? value.text : value.type
  return new FitsError('value-unreadable', `${keyword} is not a number: ${given}.`, {
    card: keyword,
    given,
    allowed: 'an integer or a real number',
  })
}

function joinContinued(cards: readonly string[]): { keyword: string; value: CardValue | undefined }[] {
  const entries: { keyword: string; value: CardValue | undefined }[] = []
  for (const text of cards) {
    const card = parseCard(text)
    const before = entries.at(-1)?.value
    const isContinued = card.keyword === 'CONTINUE' && before?.type === 'string' && before.value.endsWith('&')
    const added = isContinued ? continuedText(text) : undefined
    if (isContinued && added !== undefined) before.value = before.value.slice(0, -1) + added
    else entries.push({ keyword: card.keyword, value: card.value })
  }
  return entries
}

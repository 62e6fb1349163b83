// A header as it arrives: bytes are kept until the block of the END card is complete.
// FITS Standard 4.0 (IAU FITS Working Group 2018), sections 3.1 and 4.4.1.

import { ByteCollector } from './byte-collector.ts'
import { CARD_BYTES } from './card.ts'
import { FitsError } from './errors.ts'
import { BLOCK_BYTES, MAXIMUM_HEADER_BLOCKS, findEndCard, parseHeader } from './header.ts'
import type { FitsHeader } from './header.ts'

/** How the first card of a primary header begins. */
export const PRIMARY_START = 'SIMPLE  ='

/** RFC 1952, section 2.3.1. */
const GZIP_START = [0x1f, 0x8b]

export class HeaderCollector {
  private readonly start: string
  private readonly collected = new ByteCollector(MAXIMUM_HEADER_BLOCKS * BLOCK_BYTES)
  private cardsSearched = 0
  private endCard = -1

  /** @param start  what the header must begin with; empty for anything */
  constructor(start: string) {
    this.start = start
  }

  /**
   * Takes bytes until the header is complete.
   *
   * @returns the bytes after the header, or undefined while more of it is to come
   * @throws {FitsError} `not-fits`, `header-too-long`
   */
  write(bytes: Uint8Array): Uint8Array | undefined {
    const before = this.collected.bytes.length
    this.collected.add(bytes)
    if (!this.beginsAsItShould()) throw notFits(this.collected.bytes)
    this.searchEnd()
    if (this.endCard < 0) {
      if (this.collected.isFull) throw tooLong()
      return undefined
    }
    const headerBytes = Math.ceil(((this.endCard + 1) * CARD_BYTES) / BLOCK_BYTES) * BLOCK_BYTES
    return this.collected.bytes.length < headerBytes ? undefined : bytes.subarray(headerBytes - before)
  }

  /** The cards up to END, or all complete ones where there is none yet. */
  header(): FitsHeader {
    return parseHeader(this.collected.bytes, this.endCard < 0 ? this.cardsSearched : this.endCard)
  }

  /** The error for a body that ends before the header does. */
  cutError(receivedBytes: number): FitsError {
    if (this.collected.bytes.length < this.start.length) return notFits(this.collected.bytes)
    return new FitsError('header-truncated', `The body ends after ${receivedBytes} bytes, within the header.`, {
      facts: { receivedBytes },
    })
  }

  private beginsAsItShould(): boolean {
    const start = Buffer.from(this.collected.bytes.subarray(0, this.start.length)).toString('latin1')
    return this.start.startsWith(start)
  }

  private searchEnd(): void {
    if (this.endCard >= 0) return
    this.endCard = findEndCard(this.collected.bytes, this.cardsSearched)
    this.cardsSearched = Math.floor(this.collected.bytes.length / CARD_BYTES)
  }
}

function notFits(bytes: Uint8Array): FitsError {
  const isGzip = GZIP_START.every((byte, index) => bytes[index] === byte)
  const message = isGzip
    ? 'The body is compressed by gzip, but is not announced so.'
    : 'The body does not begin with "SIMPLE  =": it is not a FITS file.'
  const allowed = isGzip ? 'a file that is not compressed, or a body with `Content-Encoding: gzip`' : 'a FITS file'
  return new FitsError('not-fits', message, { card: 'SIMPLE', allowed })
}

function tooLong(): FitsError {
  return new FitsError('header-too-long', `No END card within ${MAXIMUM_HEADER_BLOCKS} blocks.`, {
    card: 'END',
    allowed: `at most ${MAXIMUM_HEADER_BLOCKS} blocks of ${BLOCK_BYTES} bytes`,
  })
}

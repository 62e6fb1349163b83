// A FITS body as it arrives: header, data, padding, and what may follow. Bytes are counted as they come, so that neither
// a lying header nor an endless body costs more than the limit.
// FITS Standard 4.0 (IAU FITS Working Group 2018), sections 3.1, 3.3, 3.4 and 7.3.

import { setImmediate } from 'node:timers/promises'

import { ByteCollector } from './byte-collector.ts'
import { chunksOf } from './chunks.ts'
import { FitsError, spokenBytes } from './errors.ts'
import { BLOCK_BYTES } from './header.ts'
import { HeaderCollector, PRIMARY_START } from './header-collector.ts'
import { dataBytes, imageOf } from './image.ts'
import type { FitsImage } from './image.ts'
import { noImageError } from './no-image.ts'

/** Takes the picture's bytes in order, as the file holds them. */
export interface DataSink {
  write(bytes: Uint8Array): void
}

export interface ReadLimits {
  /** Bytes of the body, header and all that follows included. */
  maximumBytes: number
  signal?: AbortSignal | undefined
}

/** Bytes after which the event loop gets its turn, for bodies that never wait by themselves. */
const BYTES_PER_TURN = 1 << 20

/**
 * Reads a body to its end and hands the primary picture's data on.
 *
 * @param body  chunks of any length; a stream is left open when it is refused half-way
 * @param limits  bytes that are accepted, and a signal that ends the reading
 * @param open  called once the header is understood; what it returns takes the data
 * @returns the picture's layout, and the bytes that were read
 * @throws {FitsError} every code of the table but `bayer-pattern-on-planes`, `gzip-unreadable` and `no-valid-pixels`
 * @source FITS Standard 4.0 (IAU FITS Working Group 2018), section 3
 */
export async function readFitsBody(
  body: AsyncIterable<Uint8Array>,
  limits: ReadLimits,
  open: (image: FitsImage) => DataSink,
): Promise<{ image: FitsImage; bytesRead: number }> {
  const reader = new BodyReader(limits.maximumBytes, open)
  let bytesThisTurn = 0
  for await (const chunk of chunksOf(body, limits.signal)) {
    for (let start = 0; start < chunk.length; start += BYTES_PER_TURN) {
      const part = chunk.subarray(start, start + BYTES_PER_TURN)
      reader.write(part)
      bytesThisTurn += part.length
      if (bytesThisTurn < BYTES_PER_TURN) continue
      bytesThisTurn = 0
      await setImmediate()
    }
  }
  return { image: reader.end(), bytesRead: reader.bytesRead }
}

interface OpenData {
  image: FitsImage
  sink: DataSink
  declaredBytes: number
  writtenBytes: number
}

class BodyReader {
  bytesRead = 0
  private readonly maximumBytes: number
  private readonly open: (image: FitsImage) => DataSink
  private readonly primary = new HeaderCollector(PRIMARY_START)
  private extension: HeaderCollector | undefined
  private data: OpenData | undefined
  /** What follows the data: padding of less than a block, and the first bytes after it. */
  private readonly tail = new ByteCollector(2 * BLOCK_BYTES)

  constructor(maximumBytes: number, open: (image: FitsImage) => DataSink) {
    this.maximumBytes = maximumBytes
    this.open = open
  }

  write(bytes: Uint8Array): void {
    this.bytesRead += bytes.length
    if (this.bytesRead > this.maximumBytes) throw tooLarge('holds', this.bytesRead, this.maximumBytes)
    const rest = this.data ? bytes : this.writeHeader(bytes)
    if (this.data) this.writeData(this.data, rest)
  }

  /** Judges whether all that was declared has come. */
  end(): FitsImage {
    if (this.extension) throw noImageError(this.extension.header())
    if (!this.data) throw this.primary.cutError(this.bytesRead)
    const { image, declaredBytes, writtenBytes } = this.data
    if (writtenBytes < declaredBytes) {
      throw new FitsError('data-truncated', `The header declares ${declaredBytes} data bytes; ${writtenBytes} came.`, {
        facts: { declaredBytes, receivedBytes: writtenBytes },
      })
    }
    requireKnownTail(this.tail.bytes, blocksOf(declaredBytes) - declaredBytes)
    return image
  }

  /** Returns what is left of the bytes after the header. */
  private writeHeader(bytes: Uint8Array): Uint8Array {
    if (this.extension) return this.writeExtension(this.extension, bytes)
    const rest = this.primary.write(bytes)
    if (rest === undefined) return bytes.subarray(bytes.length)
    const image = imageOf(this.primary.header())
    if (image) {
      this.openData(image)
      return rest
    }
    this.extension = new HeaderCollector('')
    return this.writeExtension(this.extension, rest)
  }

  /** Behind a primary part without data, the next header tells what the file is, for the sake of a clear refusal. */
  private writeExtension(extension: HeaderCollector, bytes: Uint8Array): Uint8Array {
    if (extension.write(bytes) !== undefined) throw noImageError(extension.header())
    return bytes.subarray(bytes.length)
  }

  private openData(image: FitsImage): void {
    const declaredBytes = dataBytes(image)
    if (declaredBytes > this.maximumBytes) throw tooLarge('declares', declaredBytes, this.maximumBytes)
    this.data = { image, sink: this.open(image), declaredBytes, writtenBytes: 0 }
  }

  private writeData(data: OpenData, bytes: Uint8Array): void {
    const wanted = bytes.subarray(0, data.declaredBytes - data.writtenBytes)
    if (wanted.length > 0) data.sink.write(wanted)
    data.writtenBytes += wanted.length
    this.tail.add(bytes.subarray(wanted.length))
  }
}

/** After the data may come their padding, entire or cut short, and then only an extension. */
function requireKnownTail(tail: Uint8Array, padding: number): void {
  const after = tail.subarray(padding)
  const isExtension = Buffer.from(after.subarray(0, 8)).toString('latin1') === 'XTENSION'
  const isFill = after.every((byte) => byte === 0 || byte === 0x20)
  if (isExtension || isFill) return
  throw new FitsError('data-trailing', 'The body goes on after the declared data, and not with an extension.', {
    allowed: 'NAXISn that describe all data',
  })
}

function tooLarge(verb: 'holds' | 'declares', given: number, maximumBytes: number): FitsError {
  return new FitsError('body-too-large', `The body ${verb} more than ${spokenBytes(maximumBytes)}.`, {
    given,
    allowed: `at most ${spokenBytes(maximumBytes)}`,
    facts: { maximumBytes },
  })
}

function blocksOf(bytes: number): number {
  return Math.ceil(bytes / BLOCK_BYTES) * BLOCK_BYTES
}

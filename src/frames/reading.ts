// How a body is to be read: its limit, its content encoding, its colours.

import { FitsError, inflateGzip } from '../fits/index.ts'
import type { BayerPattern, FitsImage, ReadLimits } from '../fits/index.ts'

export const DEFAULT_MAXIMUM_BYTES = 128 * 2 ** 20

export interface ReadingOptions {
  /** Bytes of the body that are accepted, inflated and as sent. */
  maxBytes?: number
  /** Stands in for the header's pattern; colours of the file's first two pixels, then of its second row's. */
  bayerPattern?: BayerPattern | undefined
  encoding?: 'identity' | 'gzip'
  signal?: AbortSignal | undefined
}

/** The body without its content encoding. */
export function decoded(body: AsyncIterable<Uint8Array>, options: ReadingOptions): AsyncIterable<Uint8Array> {
  return options.encoding === 'gzip' ? inflateGzip(body, limitsOf(options)) : body
}

export function limitsOf({ maxBytes, signal }: ReadingOptions): ReadLimits {
  return { maximumBytes: maxBytes ?? DEFAULT_MAXIMUM_BYTES, signal }
}

/**
 * The pattern a picture is read with: the caller's, else the header's; none for separate planes.
 *
 * @throws {FitsError} `bayer-pattern-on-planes`
 */
export function patternOf(image: FitsImage, given: BayerPattern | undefined): BayerPattern | null {
  if (image.planeCount === 1) return given ?? image.bayerPattern
  if (given === undefined) return null
  throw new FitsError('bayer-pattern-on-planes', 'The picture has three colour planes, which leave no Bayer pattern.', {
    given,
    allowed: 'no pattern',
  })
}

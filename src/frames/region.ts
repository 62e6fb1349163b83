// The middle of a frame, kept while the rest streams by: half of its width and of its height, where flats are evenly lit.

import { decodedSampleBytes, placeBytes, readFitsBody, sampleBytes } from '../fits/index.ts'
import type { BayerPattern, DataSink, FitsImage } from '../fits/index.ts'
import { limitsOf, patternOf } from './reading.ts'
import type { ReadingOptions } from './reading.ts'

/** Pixels from (`left`, `top`) on; even, so that a Bayer pattern begins in it as in the frame. */
export interface Region {
  left: number
  top: number
  widthPx: number
  heightPx: number
}

/** A frame's middle, as the file holds it until a worker decodes it. */
export interface RegionFrame {
  image: FitsImage
  bayerPattern: BayerPattern | null
  region: Region
  samples: SharedArrayBuffer
}

/** Sides below which the whole frame is taken. */
const SMALLEST_SIDE_PX = 64

/**
 * Reads the middle of a frame.
 *
 * @param body  a FITS file of one plane, in chunks of any length
 * @param memory  gives room for the region
 * @returns nothing for a picture of several planes, whose colours were mixed already
 * @throws {FitsError} for a body that cannot be read
 */
export async function readRegion(
  body: AsyncIterable<Uint8Array>,
  options: Omit<ReadingOptions, 'encoding'>,
  memory: (byteLength: number) => SharedArrayBuffer,
): Promise<RegionFrame | undefined> {
  let sink: RegionSink | undefined
  const { image } = await readFitsBody(body, limitsOf(options), (image) => {
    if (image.planeCount > 1) return { write: () => undefined }
    sink = new RegionSink(image, memory)
    return sink
  })
  if (!sink) return undefined
  const { region, samples } = sink
  return { image, bayerPattern: patternOf(image, options.bayerPattern), region, samples }
}

function middleOf({ widthPx, heightPx }: FitsImage): Region {
  const [left, width] = middleSpan(widthPx)
  const [top, height] = middleSpan(heightPx)
  return { left, top, widthPx: width, heightPx: height }
}

function middleSpan(side: number): [number, number] {
  if (side < SMALLEST_SIDE_PX) return [0, side]
  return [2 * Math.round(side / 8), 2 * Math.round(side / 4)]
}

class RegionSink implements DataSink {
  readonly region: Region
  readonly samples: SharedArrayBuffer
  private readonly image: FitsImage
  private readonly target: Uint8Array
  private bytesSeen = 0

  constructor(image: FitsImage, memory: (byteLength: number) => SharedArrayBuffer) {
    this.image = image
    this.region = middleOf(image)
    const { widthPx, heightPx } = this.region
    this.samples = memory(widthPx * heightPx * decodedSampleBytes(image.bitsPerSample))
    this.target = new Uint8Array(this.samples)
  }

  write(bytes: Uint8Array): void {
    const size = sampleBytes(this.image.bitsPerSample)
    const rowBytes = this.image.widthPx * size
    const from = this.bytesSeen
    this.bytesSeen += bytes.length
    const lastRow = Math.floor((this.bytesSeen - 1) / rowBytes)
    for (let row = Math.floor(from / rowBytes); row <= lastRow; row++) this.keep(bytes, from, row * rowBytes, row)
  }

  /** Keeps what the bytes hold of the region in one row. */
  private keep(bytes: Uint8Array, from: number, rowStart: number, row: number): void {
    const { left, top, widthPx, heightPx } = this.region
    if (row < top || row >= top + heightPx) return
    const { bitsPerSample } = this.image
    const size = sampleBytes(bitsPerSample)
    const first = rowStart + left * size
    const start = Math.max(first, from)
    const end = Math.min(first + widthPx * size, from + bytes.length)
    if (start >= end) return
    const place = (row - top) * widthPx * size + start - first
    placeBytes(this.target, bitsPerSample, place, bytes.subarray(start - from, end - from))
  }
}

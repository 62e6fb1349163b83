// A picture on its way in: bytes are put in place as they come, and each strip goes to the workers once it is complete.

import { placeBytes, sampleBytes } from '../fits/index.ts'
import type { DataSink } from '../fits/index.ts'
import { allocatePicture, blockRows, firstPixelRow, pixelsPerPlane } from './picture.ts'
import type { PictureLayout, SharedPicture } from './picture.ts'
import type { Strip } from './strip.ts'

/**
 * Pixels of a strip, about: a few hundredths of a second of work, several strips to a large frame. Pixels and not bytes, so that
 * a picture is measured alike whatever type its samples have.
 */
const STRIP_PIXELS = 3 << 21

export class Arrival implements DataSink {
  readonly picture: SharedPicture
  private readonly target: Uint8Array
  private readonly strips: { strip: Strip; endByte: number }[]
  private readonly onStrip: (picture: SharedPicture, strip: Strip) => void
  private bytesWritten = 0

  /**
   * @param memory  where the picture goes
   * @param onStrip  told of every strip whose bytes are all there, in order
   */
  constructor(
    layout: PictureLayout,
    memory: (byteLength: number) => SharedArrayBuffer,
    onStrip: (picture: SharedPicture, strip: Strip) => void,
  ) {
    this.picture = allocatePicture(layout, memory)
    this.target = new Uint8Array(this.picture.samples)
    this.strips = stripsOf(layout)
    this.onStrip = onStrip
  }

  write(bytes: Uint8Array): void {
    placeBytes(this.target, this.picture.layout.image.bitsPerSample, this.bytesWritten, bytes)
    this.bytesWritten += bytes.length
    while (this.strips[0] && this.strips[0].endByte <= this.bytesWritten) {
      const [next] = this.strips.splice(0, 1)
      if (next) this.onStrip(this.picture, next.strip)
    }
  }
}

/** Block rows in groups of about {@link STRIP_PIXELS}, with the byte of the data at which each is complete. */
function stripsOf(layout: PictureLayout): { strip: Strip; endByte: number }[] {
  const { image } = layout
  const rows = blockRows(layout)
  const rowsPerStrip = Math.max(1, Math.round((STRIP_PIXELS * rows) / pixelsPerPlane(image)))
  const strips = []
  for (let plane = 0; plane < image.planeCount; plane++) {
    for (let fromRow = 0; fromRow < rows; fromRow += rowsPerStrip) {
      const toRow = Math.min(rows, fromRow + rowsPerStrip)
      const endPixel = plane * pixelsPerPlane(image) + firstPixelRow(layout, toRow) * image.widthPx
      strips.push({ strip: { plane, fromRow, toRow }, endByte: endPixel * sampleBytes(image.bitsPerSample) })
    }
  }
  return strips
}

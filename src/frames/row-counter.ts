// Statistics of integers of up to 16 bits as they stream by: a few rows at a time, without a copy of the picture.

import { decodeInPlace, decodedSampleBytes, placeBytes, sampleBytes, viewSamples } from '../fits/index.ts'
import type { DataSink } from '../fits/index.ts'
import { countedFigures } from './channel-statistics.ts'
import type { ChannelFigures } from './channel-statistics.ts'
import { COUNTS_PER_PLANE, channelsOf } from './picture.ts'
import type { PictureLayout } from './picture.ts'
import { countRows } from './sample-counts.ts'

/** Bytes of rows that are counted together, about. */
const STAGE_BYTES = 1 << 16

export class RowCounter implements DataSink {
  private readonly layout: PictureLayout
  private readonly counts: Uint32Array[]
  /** An even number of rows, so that the first one is always an even row of the picture. */
  private readonly stageRows: number
  private readonly stage: Uint8Array
  private staged = 0
  private plane = 0
  private row = 0

  constructor(layout: PictureLayout) {
    this.layout = layout
    const { widthPx, heightPx, bitsPerSample, planeCount } = layout.image
    const rowBytes = widthPx * decodedSampleBytes(bitsPerSample)
    this.stageRows = Math.min(heightPx + (heightPx % 2), 2 * Math.max(1, Math.floor(STAGE_BYTES / (2 * rowBytes))))
    this.stage = new Uint8Array(this.stageRows * rowBytes)
    this.counts = Array.from({ length: planeCount }, () => new Uint32Array(COUNTS_PER_PLANE))
  }

  write(bytes: Uint8Array): void {
    const { widthPx, bitsPerSample } = this.layout.image
    for (let from = 0; from < bytes.length;) {
      const wanted = this.rowsToCome() * widthPx * sampleBytes(bitsPerSample) - this.staged
      const part = bytes.subarray(from, from + wanted)
      placeBytes(this.stage, bitsPerSample, this.staged, part)
      this.staged += part.length
      from += part.length
      if (part.length === wanted) this.countStage()
    }
  }

  /** Statistics of every channel, once all rows have come. */
  figures(): ChannelFigures[] {
    return channelsOf(this.layout).map((pixels) =>
      countedFigures(this.layout, this.counts[pixels.plane] ?? new Uint32Array(COUNTS_PER_PLANE), pixels),
    )
  }

  private rowsToCome(): number {
    return Math.min(this.stageRows, this.layout.image.heightPx - this.row)
  }

  private countStage(): void {
    const { widthPx, heightPx, bitsPerSample } = this.layout.image
    const rows = this.rowsToCome()
    const counts = this.counts[this.plane]
    const samples = viewSamples(this.stage.buffer, bitsPerSample, 0, rows * widthPx)
    decodeInPlace(this.stage.buffer, bitsPerSample, 0, samples.length)
    if (samples instanceof Int16Array && counts) countRows(samples, { widthPx, from: 0, to: rows }, counts)
    this.staged = 0
    this.row += rows
    if (this.row < heightPx) return
    this.row = 0
    this.plane++
  }
}

// Statistics of a frame without a look at its stars.

import { readFitsBody } from '../fits/index.ts'
import type { DataSink, FitsImage } from '../fits/index.ts'
import { factsOf, requireMeasured } from './analyze.ts'
import type { FrameFacts, FrameOptions } from './analyze.ts'
import { Arrival } from './arrival.ts'
import type { EmptyChannel, PictureStatistics } from './measurements.ts'
import { layOut } from './picture.ts'
import type { PictureLayout } from './picture.ts'
import { statisticsAdu } from './picture-statistics.ts'
import type { FramePool } from './pool.ts'
import { decoded, limitsOf, patternOf } from './reading.ts'
import { RowCounter } from './row-counter.ts'

export type FrameStatistics = FrameFacts & PictureStatistics

/**
 * Exact median, median absolute deviation, mean, extremes, clipped and missing share of every channel.
 *
 * Integers of up to 16 bits are counted as they stream by, without a copy of the picture; wider samples need it, and a
 * worker.
 *
 * @param body  a FITS file, in chunks of any length
 * @throws {FramePoolFull} when samples are wider than 16 bits and every place is taken
 * @throws {FitsError} for a body that cannot be measured
 * @throws the signal's reason, or what the body itself throws
 */
export async function frameStatistics(
  body: AsyncIterable<Uint8Array>,
  options: FrameOptions,
): Promise<FrameStatistics> {
  let source: StatisticsSource | undefined
  try {
    const { image, bytesRead } = await readFitsBody(decoded(body, options), limitsOf(options), (image) => {
      source = sourceOf(layOut(image, patternOf(image, options.bayerPattern)), options.pool)
      return source.sink
    })
    if (!source) throw new Error('readFitsBody returned without opening a picture.')
    const answer = requireMeasured(await source.statistics(image, options.saturationAdu))
    return { ...factsOf(source.layout, bytesRead), ...answer }
  } finally {
    source?.release()
  }
}

interface StatisticsSource {
  layout: PictureLayout
  sink: DataSink
  statistics: (image: FitsImage, saturationAdu: number | undefined) => Promise<PictureStatistics | EmptyChannel>
  release: () => void
}

function sourceOf(layout: PictureLayout, pool: FramePool): StatisticsSource {
  const isCounted = layout.image.bitsPerSample === 8 || layout.image.bitsPerSample === 16
  return isCounted ? countingSource(layout) : wholeSource(layout, pool)
}

function countingSource(layout: PictureLayout): StatisticsSource {
  const counter = new RowCounter(layout)
  return {
    layout,
    sink: counter,
    statistics: (image, saturationAdu) => Promise.resolve(statisticsAdu(image, counter.figures(), saturationAdu)),
    release: () => undefined,
  }
}

function wholeSource(layout: PictureLayout, pool: FramePool): StatisticsSource {
  const slot = pool.reserve()
  const arrival = new Arrival(layout, slot.memory, () => undefined)
  return {
    layout,
    sink: arrival,
    statistics: (_image, saturationAdu) => slot.run({ kind: 'statistics', picture: arrival.picture, saturationAdu }),
    release: slot.release,
  }
}

// Exact statistics of every channel of a picture, by counts where every value was counted, else by selection.

import { countFrom, histogramOf, histogramStatistics } from './histogram.ts'
import type { Lattice } from './lattice.ts'
import { channelsOf, planeCounts, planeSamples } from './picture.ts'
import type { ChannelPixels, PictureLayout, SharedPicture } from './picture.ts'
import type { SampleStatistics } from './sample-statistics.ts'
import { countAtLeast, wideStatistics } from './wide-statistics.ts'

/** Statistics of one channel, and a way to ask for more. */
export interface ChannelFigures {
  pixels: ChannelPixels
  statistics: SampleStatistics
  /** Valid pixels with this sample value or a higher one. */
  countFrom: (sample: number) => number
}

/** @returns for every channel, in the order red, green, blue */
export function channelFigures(picture: SharedPicture): ChannelFigures[] {
  const { layout, counts } = picture
  return channelsOf(layout).map((pixels) =>
    counts ? countedFigures(layout, planeCounts(counts, pixels.plane), pixels) : selectedFigures(picture, pixels),
  )
}

/** @param counts  of the channel's plane */
export function countedFigures({ image }: PictureLayout, counts: Uint32Array, pixels: ChannelPixels): ChannelFigures {
  const histogram = histogramOf(counts, pixels.positions, image.blankSample)
  return {
    pixels,
    statistics: histogramStatistics(histogram),
    countFrom: (sample) => countFrom(histogram, sample),
  }
}

function selectedFigures(picture: SharedPicture, pixels: ChannelPixels): ChannelFigures {
  const { image } = picture.layout
  const samples = planeSamples(picture, pixels.plane)
  const input = { samples, lattices: latticesOf(picture.layout, pixels), blank: image.blankSample ?? Number.NaN }
  return {
    pixels,
    statistics: wideStatistics(input),
    countFrom: (sample) => countAtLeast(input, sample),
  }
}

/** A whole plane as one row, or every second pixel of every second row for each position of a Bayer colour. */
function latticesOf({ image }: PictureLayout, { positions }: ChannelPixels): Lattice[] {
  const { widthPx, heightPx } = image
  if (positions.length === 4) return [{ start: 0, stride: 1, count: widthPx * heightPx, rowStride: 0, rows: 1 }]
  return positions.map((position) => {
    const column = position & 1
    const row = position >> 1
    return {
      start: row * widthPx + column,
      stride: 2,
      count: (widthPx - column + 1) >> 1,
      rowStride: 2 * widthPx,
      rows: (heightPx - row + 1) >> 1,
    }
  })
}

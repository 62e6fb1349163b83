// A picture in shared memory, and how it is cut up: pixels in cells of 2 x 2, cells in blocks, block rows in strips.
// A cell holds every colour of a Bayer pattern once, so that what works on cells needs not know of colours.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { dataBytes, decodedSampleBytes, viewSamples } from '../fits/index.ts'
import type { BayerPattern, FitsImage, Samples } from '../fits/index.ts'

export type Channel = 'mono' | 'red' | 'green' | 'blue'

/** Place of a pixel in its cell, row by row. */
export type Position = 0 | 1 | 2 | 3

export const POSITIONS: readonly Position[] = [0, 1, 2, 3]

/** The pixels of one colour: a plane, and the places in its cells. */
export interface ChannelPixels {
  channel: Channel
  plane: number
  positions: readonly Position[]
}

/** What a picture is, without its samples; plain data, so that it can be sent to a worker. */
export interface PictureLayout {
  image: FitsImage
  /** The pattern that is used: the caller's, or else the header's. */
  bayerPattern: BayerPattern | null
  /** Edges of the blocks in cells, first and last included. */
  columnEdges: number[]
  rowEdges: number[]
}

/** A layout with its memory, which the event loop fills and the workers read. */
export interface SharedPicture {
  layout: PictureLayout
  samples: SharedArrayBuffer
  /** Counts of every sample value per plane and position; integers up to 16 bits only. */
  counts: SharedArrayBuffer | null
  mesh: SharedArrayBuffer
}

export const SAMPLE_VALUES = 65_536
export const COUNTS_PER_PLANE = 4 * SAMPLE_VALUES

/** Side of a block in cells: 192 pixels, many star diameters and still small against gradients and nebulae. */
const BLOCK_CELLS = 96
/** Small frames are cut finer, into this many blocks a side as long as each keeps enough cells. */
const SMALL_FRAME_BLOCKS = 6
const FEWEST_BLOCK_CELLS = 24

const LETTER_CHANNELS = { R: 'red', G: 'green', B: 'blue' } as const

/** @returns the layout of a picture that is read with this pattern */
export function layOut(image: FitsImage, bayerPattern: BayerPattern | null): PictureLayout {
  return {
    image,
    bayerPattern,
    columnEdges: blockEdges(image.widthPx >> 1),
    rowEdges: blockEdges(image.heightPx >> 1),
  }
}

/** The colours of a picture, each with its pixels. */
export function channelsOf(layout: PictureLayout): ChannelPixels[] {
  const { bayerPattern, image } = layout
  if (bayerPattern) {
    return (['R', 'G', 'B'] as const).map((letter) => ({
      channel: LETTER_CHANNELS[letter],
      plane: 0,
      positions: POSITIONS.filter((position) => bayerPattern[position] === letter),
    }))
  }
  const names: Channel[] = image.planeCount === 3 ? ['red', 'green', 'blue'] : ['mono']
  return names.map((channel, plane) => ({ channel, plane, positions: POSITIONS }))
}

/** The colour in which stars are measured: green where there is one, as it has the most pixels and light. */
export function detectionChannelOf(layout: PictureLayout): ChannelPixels {
  const channels = channelsOf(layout)
  return channels.find(({ channel }) => channel === 'green') ?? channels[0]!
}

export function pixelsPerPlane(image: FitsImage): number {
  return image.widthPx * image.heightPx
}

/** Pixels of a channel, missing ones included. */
export function pixelCountOf(image: FitsImage, { positions }: ChannelPixels): number {
  const columns = [(image.widthPx + 1) >> 1, image.widthPx >> 1]
  const rows = [(image.heightPx + 1) >> 1, image.heightPx >> 1]
  return positions.reduce<number>((sum, position) => sum + (columns[position & 1] ?? 0) * (rows[position >> 1] ?? 0), 0)
}

/**
 * The memory of a picture.
 *
 * @param memory  gives the samples' part, which may hold anything; pages that are never written cost nothing
 */
export function allocatePicture(
  layout: PictureLayout,
  memory: (byteLength: number) => SharedArrayBuffer,
): SharedPicture {
  const { image } = layout
  const sampleCount = dataBytes(image) / (Math.abs(image.bitsPerSample) / 8)
  const isCounted = decodedSampleBytes(image.bitsPerSample) === 2
  return {
    layout,
    samples: memory(sampleCount * decodedSampleBytes(image.bitsPerSample)),
    counts: isCounted ? new SharedArrayBuffer(image.planeCount * COUNTS_PER_PLANE * 4) : null,
    mesh: new SharedArrayBuffer(image.planeCount * blockCount(layout) * MESH_FIELDS * 8),
  }
}

/** Samples of one plane, in the machine's order once its strips are decoded. */
export function planeSamples({ layout, samples }: SharedPicture, plane: number): Samples {
  const pixels = pixelsPerPlane(layout.image)
  return viewSamples(samples, layout.image.bitsPerSample, plane * pixels, pixels)
}

/** Figures kept for a block: sum of a cell and its spread, then level and spread of the four positions. */
export const MESH_FIELDS = 10

/** Figures of one plane's blocks. */
export function planeMesh({ layout, mesh }: SharedPicture, plane: number): Float64Array {
  const length = blockCount(layout) * MESH_FIELDS
  return new Float64Array(mesh, plane * length * 8, length)
}

/** Counts of one plane's samples. */
export function planeCounts(counts: SharedArrayBuffer, plane: number): Uint32Array {
  return new Uint32Array(counts, plane * COUNTS_PER_PLANE * 4, COUNTS_PER_PLANE)
}

export function blockColumns(layout: PictureLayout): number {
  return layout.columnEdges.length - 1
}

export function blockRows(layout: PictureLayout): number {
  return layout.rowEdges.length - 1
}

export function blockCount(layout: PictureLayout): number {
  return blockColumns(layout) * blockRows(layout)
}

/** First pixel row of a block row; the last block row takes an odd last pixel row with it. */
export function firstPixelRow(layout: PictureLayout, blockRow: number): number {
  return blockRow === blockRows(layout) ? layout.image.heightPx : 2 * (layout.rowEdges[blockRow] ?? 0)
}

function blockEdges(cells: number): number[] {
  const small = Math.min(SMALL_FRAME_BLOCKS, Math.floor(cells / FEWEST_BLOCK_CELLS))
  const blocks = Math.max(1, small, Math.round(cells / BLOCK_CELLS))
  return Array.from({ length: blocks + 1 }, (_, edge) => Math.round((edge * cells) / blocks))
}

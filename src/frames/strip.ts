// The work on a picture that can begin before all of it has come: one strip of block rows after the other.

import { decodeInPlace } from '../fits/index.ts'
import { BackgroundMap } from './background-map.ts'
import { blockBox, blockRecord, measureBlock } from './mesh.ts'
import { sortOut } from './outstanding.ts'
import type { Outstanding } from './outstanding.ts'
import {
  COUNTS_PER_PLANE,
  MESH_FIELDS,
  blockColumns,
  detectionChannelOf,
  firstPixelRow,
  pixelsPerPlane,
  planeCounts,
  planeMesh,
  planeSamples,
} from './picture.ts'
import type { PictureLayout, SharedPicture } from './picture.ts'
import { viewPlane } from './plane-view.ts'
import type { PlaneView } from './plane-view.ts'
import { addCounts, countRows } from './sample-counts.ts'
import { scanBlock } from './scan.ts'

/** Block rows `fromRow` to before `toRow` of one plane. */
export interface Strip {
  plane: number
  fromRow: number
  toRow: number
}

const counts = new Uint32Array(COUNTS_PER_PLANE)

/**
 * Decodes a strip in place, counts its samples, measures its blocks and looks for what stands out of them.
 *
 * @param picture  all of the strip's bytes are there
 * @returns bright cells and hot pixels, in the plane that stars are looked for in; else none
 */
export function measureStrip(picture: SharedPicture, strip: Strip): Outstanding {
  const { layout } = picture
  const { image } = layout
  const rows = { from: firstPixelRow(layout, strip.fromRow), to: firstPixelRow(layout, strip.toRow) }
  const firstSample = strip.plane * pixelsPerPlane(image) + rows.from * image.widthPx
  decodeInPlace(picture.samples, image.bitsPerSample, firstSample, (rows.to - rows.from) * image.widthPx)
  countStrip(picture, strip.plane, rows)
  const candidates = measureBlocks(picture, strip)
  const isInside = insideOf(layout, strip)
  return {
    ...sortOut(stripView(picture, strip), candidates.filter(isInside)),
    undecided: Int32Array.from(candidates.filter((cell) => !isInside(cell))),
  }
}

/** Tells cells all of whose neighbours lie in the strip; beyond it, samples may not be decoded yet, or not be there. */
function insideOf({ image, rowEdges }: PictureLayout, { fromRow, toRow }: Strip): (cell: number) => boolean {
  const cellsPerRow = image.widthPx >> 1
  const from = fromRow === 0 ? 0 : (rowEdges[fromRow] ?? 0) + 1
  const to = toRow === rowEdges.length - 1 ? Infinity : (rowEdges[toRow] ?? 0) - 1
  return (cell) => cell >= from * cellsPerRow && cell < to * cellsPerRow
}

function countStrip(picture: SharedPicture, plane: number, rows: { from: number; to: number }): void {
  const samples = planeSamples(picture, plane)
  if (!picture.counts || !(samples instanceof Int16Array)) return
  counts.fill(0)
  countRows(samples, { widthPx: picture.layout.image.widthPx, ...rows }, counts)
  addCounts(planeCounts(picture.counts, plane), counts)
}

/** Returns the numbers of cells that stand out of their block. */
function measureBlocks(picture: SharedPicture, strip: Strip): number[] {
  const { layout } = picture
  const samples = planeSamples(picture, strip.plane)
  const mesh = planeMesh(picture, strip.plane)
  const isScanned = detectionChannelOf(layout).plane === strip.plane
  const { widthPx, blankSample } = layout.image
  const plane = { widthPx, blank: blankSample ?? Number.NaN }
  const found: number[] = []
  const columns = blockColumns(layout)
  for (let row = strip.fromRow; row < strip.toRow; row++) {
    for (let column = 0; column < columns; column++) {
      const box = blockBox(layout, column, row)
      const record = blockRecord(mesh, row * columns + column)
      measureBlock(samples, plane, box, record)
      if (isScanned) scanBlock(samples, plane, box, record, found)
    }
  }
  return found
}

/** The strip's plane, with the background as far as the strip's own blocks tell. */
function stripView(picture: SharedPicture, { plane, fromRow, toRow }: Strip): PlaneView {
  const { layout } = picture
  const perRow = blockColumns(layout) * MESH_FIELDS
  const edges = { columnEdges: layout.columnEdges, rowEdges: layout.rowEdges.slice(fromRow, toRow + 1) }
  const mesh = planeMesh(picture, plane).subarray(fromRow * perRow, toRow * perRow)
  return viewPlane(picture, plane, new BackgroundMap(edges, mesh))
}

// The background at any place of a plane: block figures freed of outliers by a median over neighbours, then interpolated
// between the centers of the blocks.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { blockRecord, quickSelect } from './mesh.ts'
import { MESH_FIELDS } from './picture.ts'

const neighbors = new Float64Array(9)

/** Edges of a grid of blocks, in cells. */
export interface BlockEdges {
  columnEdges: readonly number[]
  rowEdges: readonly number[]
}

export class BackgroundMap {
  private readonly columns: Axis
  private readonly rows: Axis
  private readonly figures: Float64Array
  private shareX = 0
  private shareY = 0
  private upperLeft = 0
  private upperRight = 0
  private lowerLeft = 0
  private lowerRight = 0

  /** @param mesh  records of the grid's blocks, row by row */
  constructor({ columnEdges, rowEdges }: BlockEdges, mesh: Float64Array) {
    this.columns = new Axis(columnEdges)
    this.rows = new Axis(rowEdges)
    this.figures = smoothed(filled(mesh), columnEdges.length - 1, rowEdges.length - 1)
  }

  /** True where no block of the plane could be measured. */
  get isEmpty(): boolean {
    return Number.isNaN(this.figures[0])
  }

  /**
   * Goes to a cell, which may be a fraction; {@link figure} then answers for that place. Two steps, because most callers
   * ask for several figures of one place, and finding it costs more than reading.
   */
  moveTo(cellX: number, cellY: number): this {
    const x = this.columns.place(cellX)
    const y = this.rows.place(cellY)
    const [column, row] = [Math.floor(x), Math.floor(y)]
    const right = Math.min(column + 1, this.columns.last)
    const below = Math.min(row + 1, this.rows.last)
    const perRow = this.columns.last + 1
    this.shareX = x - column
    this.shareY = y - row
    this.upperLeft = (row * perRow + column) * MESH_FIELDS
    this.upperRight = (row * perRow + right) * MESH_FIELDS
    this.lowerLeft = (below * perRow + column) * MESH_FIELDS
    this.lowerRight = (below * perRow + right) * MESH_FIELDS
    return this
  }

  /** A figure of the record (see `mesh.ts`) at the place last moved to. */
  figure(field: number): number {
    const { figures, shareX } = this
    const upper = mix(figures[this.upperLeft + field]!, figures[this.upperRight + field]!, shareX)
    const lower = mix(figures[this.lowerLeft + field]!, figures[this.lowerRight + field]!, shareX)
    return mix(upper, lower, this.shareY)
  }
}

function mix(from: number, to: number, share: number): number {
  return from + (to - from) * share
}

/** Centers of blocks along one direction. */
class Axis {
  readonly last: number
  private readonly first: number
  private readonly cells: number
  private readonly centers: Float64Array

  constructor(edges: readonly number[]) {
    this.last = edges.length - 2
    this.first = edges[0] ?? 0
    this.cells = (edges.at(-1) ?? 0) - this.first
    // The center of cells `a` to before `b` lies half a cell before their middle edge.
    this.centers = Float64Array.from(edges.slice(1), (edge, index) => (edges[index]! + edge - 1) / 2)
  }

  /** Fractional index among the centers, held at the first and the last. They are evenly spread to within a cell. */
  place(cell: number): number {
    const { centers, last } = this
    const near = Math.floor(((cell - this.first) * centers.length) / this.cells - 0.5)
    let index = Math.min(last, Math.max(0, near))
    if (index < last && cell >= centers[index + 1]!) index++
    else if (index > 0 && cell < centers[index]!) index--
    if (index === last) return last
    const share = (cell - centers[index]!) / (centers[index + 1]! - centers[index]!)
    return index + Math.min(1, Math.max(0, share))
  }
}

/** Blocks without figures get those of the block before them, the first ones those of the first that has any. */
function filled(mesh: Float64Array): Float64Array {
  const figures = mesh.slice()
  const blocks = figures.length / MESH_FIELDS
  const firstKnown = Array.from({ length: blocks }, (_, block) => block).find(
    (block) => !Number.isNaN(mesh[block * MESH_FIELDS]),
  )
  if (firstKnown === undefined) return figures
  let known = blockRecord(figures, firstKnown)
  for (let block = 0; block < blocks; block++) {
    const record = blockRecord(figures, block)
    if (Number.isNaN(record[0])) record.set(known)
    else known = record
  }
  return figures
}

function smoothed(figures: Float64Array, columns: number, rows: number): Float64Array {
  const result = figures.slice()
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      for (let field = 0; field < MESH_FIELDS; field++) {
        result[(row * columns + column) * MESH_FIELDS + field] = medianAround(figures, {
          columns,
          rows,
          column,
          row,
          field,
        })
      }
    }
  }
  return result
}

/** Median of a block and its neighbours; at the edges of the frame opposite neighbours are left out in pairs. */
function medianAround(
  figures: Float64Array,
  place: { columns: number; rows: number; column: number; row: number; field: number },
): number {
  const { columns, rows, column, row, field } = place
  const reachX = Math.min(1, column, columns - 1 - column)
  const reachY = Math.min(1, row, rows - 1 - row)
  let count = 0
  for (let y = row - reachY; y <= row + reachY; y++) {
    for (let x = column - reachX; x <= column + reachX; x++) {
      neighbors[count++] = figures[(y * columns + x) * MESH_FIELDS + field]!
    }
  }
  return quickSelect(neighbors, count, count >> 1)
}

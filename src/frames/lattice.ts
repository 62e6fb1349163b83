// Which samples of a plane belong to a channel.

import type { Samples } from '../fits/index.ts'

/** Evenly spaced samples in evenly spaced rows: every second pixel of every second row, or a whole plane as one row. */
export interface Lattice {
  start: number
  stride: 1 | 2
  count: number
  rowStride: number
  rows: number
}

/** A channel's samples, from which ranks are selected. */
export interface SelectionInput {
  samples: Samples
  lattices: readonly Lattice[]
  /** The sample that stands for a missing pixel; NaN, which nothing equals, for none. */
  blank: number
}

/** Pixels of the lattices, missing ones included. */
export function latticePixels(lattices: readonly Lattice[]): number {
  return lattices.reduce((sum, { rows, count }) => sum + rows * count, 0)
}

// The background proper, once the stars are known: level and noise of every channel, from cells that no star reaches.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { blockBox } from './mesh.ts'
import type { CellBox } from './mesh.ts'
import type { PlaneView } from './plane-view.ts'
import { blockColumns, blockCount } from './picture.ts'
import type { PictureLayout, Position } from './picture.ts'
import type { StarMask } from './star-mask.ts'
import { BlockTotals } from './block-totals.ts'
import type { BlockBackground } from './block-totals.ts'

/** Cells looked at in a frame, about: every sixteenth row or so of a large one, all of a small one. */
const CELLS_WANTED = 400_000
/**
 * Level and noise of every block.
 *
 * The level is the mean of the pixels within three spreads of the background; the noise is that of differences between
 * pixels of one colour two columns apart, σ² = ⟨d²⟩/2, so that neither gradient nor nebula counts as noise. Where
 * pixels have been mixed with their neighbours (interpolated colours, resampling) it comes out too small.
 *
 * @returns by block number, in sample units
 * @derived variance of a difference of independent pixels
 */
export function blockBackgrounds(plane: PlaneView, layout: PictureLayout, mask: StarMask): BlockBackground[] {
  const cells = (layout.columnEdges.at(-1) ?? 0) * (layout.rowEdges.at(-1) ?? 0)
  const step = Math.max(1, Math.round(cells / CELLS_WANTED))
  const columns = blockColumns(layout)
  return Array.from({ length: blockCount(layout) }, (_, block) => {
    const box = blockBox(layout, block % columns, Math.floor(block / columns))
    return measure(plane, box, step, mask)
  })
}

/** A block's level over several positions. */
export function blockLevel({ level }: BlockBackground, positions: readonly Position[]): number {
  return positions.reduce<number>((sum, position) => sum + level[position]!, 0) / positions.length
}

/** A block's noise over several positions: the root of the mean variance. */
export function blockNoise({ noise }: BlockBackground, positions: readonly Position[]): number {
  return Math.sqrt(positions.reduce<number>((sum, position) => sum + noise[position]! ** 2, 0) / positions.length)
}

function measure(plane: PlaneView, box: CellBox, step: number, mask: StarMask): BlockBackground {
  plane.background.moveTo((box.left + box.right) / 2, (box.top + box.bottom) / 2)
  const totals = new BlockTotals(plane)
  // Rows are taken evenly about the block's middle, so that a gradient does not shift its level.
  const firstRow = box.top + (((box.bottom - box.top - 1) % step) >> 1)
  for (let cellY = firstRow; cellY < box.bottom; cellY += step) totals.addRow(plane, box, cellY, mask)
  return totals.figures(plane)
}

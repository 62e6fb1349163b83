// Sums over the cells of one block that no star reaches, and the level and noise that they come to.
/* eslint-disable @typescript-eslint/no-non-null-assertion -- typed arrays, read within bounds in hot loops */

import { LEVEL, SPREAD, SUM, SUM_SPREAD } from './mesh.ts'
import type { CellBox } from './mesh.ts'
import { POSITIONS } from './picture.ts'
import type { PlaneView } from './plane-view.ts'
import type { StarMask } from './star-mask.ts'

/** Spreads of a cell's sum around its background beyond which something else is on the cell. */
const SUM_CLIP = 3
/** Spreads of a difference of two pixels beyond which one of them is not background. */
const DIFFERENCE_CLIP = 4
/** 1 − 2κ φ(κ)/(2Φ(κ) − 1) at κ = 4: what the cut leaves of a normal variance. */
const CUT_VARIANCE = 0.9989292903724738
/** Cells without which a block's figures are left out. */
const FEWEST_CELLS = 8

/** Figures of one block, for each of the four positions in a cell; NaN where too few cells were free. */
export interface BlockBackground {
  level: Float64Array
  noise: Float64Array
  /** Mean place of the cells that went into the level, from -1/2 to 1/2 across the frame. */
  x: number
  y: number
  /** Cells that went into the figures. */
  cellCount: number
}

/** Sums over the cells of one block, by position. */
export class BlockTotals {
  /** Reach of a cell's sum around its background. */
  private readonly reach: number
  /** Levels that are taken off first, for the precision of the sums. */
  private readonly origin: Float64Array
  /** Reach of a difference around 0. */
  private readonly limits: Float64Array
  private cellCount = 0
  private columnSum = 0
  private rowSum = 0
  private readonly sums = new Float64Array(4)
  private readonly differenceCounts = new Float64Array(4)
  private readonly squares = new Float64Array(4)

  /** @param plane  its background standing at the block's middle */
  constructor({ background }: PlaneView) {
    this.reach = SUM_CLIP * background.figure(SUM_SPREAD)
    this.origin = Float64Array.from(POSITIONS, (position) => background.figure(LEVEL + position))
    this.limits = Float64Array.from(
      POSITIONS,
      (position) => DIFFERENCE_CLIP * Math.SQRT2 * background.figure(SPREAD + position),
    )
  }

  addRow(plane: PlaneView, box: CellBox, cellY: number, mask: StarMask): void {
    const { widthPx, background } = plane
    const left = background.moveTo(box.left, cellY).figure(SUM)
    const slope = (background.moveTo(box.right, cellY).figure(SUM) - left) / (box.right - box.left)
    for (let from = box.left; from < box.right;) {
      const to = Math.min(box.right, mask.endOfFree(from, cellY))
      if (to > from) {
        this.addLevels(plane, { from, to, cellY }, left + slope * (from - box.left), slope)
        this.addDifferences(plane, 2 * (cellY * widthPx + from), 2 * (to - from), 0)
        this.addDifferences(plane, (2 * cellY + 1) * widthPx + 2 * from, 2 * (to - from), 2)
      }
      from = mask.endOfCovered(Math.max(to, from), cellY)
    }
  }

  figures({ widthPx, heightPx }: PlaneView): BlockBackground {
    const isMeasured = this.cellCount >= FEWEST_CELLS
    return {
      level: this.sums.map((sum, position) =>
        isMeasured ? this.origin[position]! + sum / this.cellCount : Number.NaN,
      ),
      noise: this.squares.map((square, position) => {
        const count = this.differenceCounts[position]!
        return count >= FEWEST_CELLS ? Math.sqrt(square / count / 2 / CUT_VARIANCE) : Number.NaN
      }),
      cellCount: this.cellCount,
      // A cell's middle lies one pixel from its left and upper edge.
      x: (2 * this.columnSum) / this.cellCount / widthPx + 1 / widthPx - 0.5,
      y: (2 * this.rowSum) / this.cellCount / heightPx + 1 / heightPx - 0.5,
    }
  }

  /** Cells of a free run; `expected` is what the first one's sum should be, and `slope` the rise to the next. */
  private addLevels(
    { samples, widthPx, blank }: PlaneView,
    run: { from: number; to: number; cellY: number },
    expected: number,
    slope: number,
  ): void {
    const { reach, sums } = this
    const [origin0, origin1, origin2, origin3] = [this.origin[0]!, this.origin[1]!, this.origin[2]!, this.origin[3]!]
    const rowIndex = 2 * run.cellY * widthPx
    let count = 0
    let columns = 0
    for (let cellX = run.from; cellX < run.to; cellX++) {
      const index = rowIndex + 2 * cellX
      const pixel0 = samples[index]!
      const pixel1 = samples[index + 1]!
      const pixel2 = samples[index + widthPx]!
      const pixel3 = samples[index + widthPx + 1]!
      const excess = pixel0 + pixel1 + pixel2 + pixel3 - expected - slope * (cellX - run.from)
      if (!(Math.abs(excess) <= reach)) continue
      if (pixel0 === blank || pixel1 === blank || pixel2 === blank || pixel3 === blank) continue
      count++
      columns += cellX
      sums[0]! += pixel0 - origin0
      sums[1]! += pixel1 - origin1
      sums[2]! += pixel2 - origin2
      sums[3]! += pixel3 - origin3
    }
    this.cellCount += count
    this.columnSum += columns
    this.rowSum += count * run.cellY
  }

  /** Pixels of one row of a free run, which lie at two positions in turn, each against the next of its position. */
  private addDifferences({ samples, blank }: PlaneView, index: number, pixels: number, position: 0 | 2): void {
    const [limit0, limit1] = [this.limits[position]!, this.limits[position + 1]!]
    let [squares0, squares1, count0, count1] = [0, 0, 0, 0]
    const end = index + pixels - 2
    for (let at = index; at < end; at += 2) {
      const difference0 = samples[at + 2]! - samples[at]!
      const difference1 = samples[at + 3]! - samples[at + 1]!
      if (Math.abs(difference0) <= limit0 && samples[at] !== blank && samples[at + 2] !== blank) {
        squares0 += difference0 * difference0
        count0++
      }
      if (Math.abs(difference1) <= limit1 && samples[at + 1] !== blank && samples[at + 3] !== blank) {
        squares1 += difference1 * difference1
        count1++
      }
    }
    this.squares[position]! += squares0
    this.squares[position + 1]! += squares1
    this.differenceCounts[position]! += count0
    this.differenceCounts[position + 1]! += count1
  }
}

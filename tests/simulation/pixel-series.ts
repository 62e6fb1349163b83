// One pixel of the frame through a series of subs: its subs are taken, calibrated by masters that were taken before, and
// combined. Everything a pixel does in the tests of extended targets and of stars happens here.

import { combined, type Combine } from './combine.ts'
import type { Draws } from './draws.ts'
import { PoissonCounts } from './poisson-counts.ts'
import { Cell, type Sensor } from './sensor.ts'

/** Master frames; what is left out is known without error. */
export interface Calibration {
  darkFrames?: number
  flatFrames?: number
  /** Of one pixel of the frame. */
  flatElectrons?: number
  biasFrames?: number
  /** Pointings the subs are spread over in turn: on each of them other physical pixels see the patch. */
  ditherPositions?: number
}

export interface Series {
  sensor: Sensor
  subSeconds: number
  subCount: number
  combine: Combine
  calibration: Calibration
}

/** A pixel of the frame at one pointing, with the masters that belong to it. */
interface Place {
  /** Of each of its cells. */
  offsetsAdu: Float64Array
  /** Level that is taken off, in ADU. */
  darkAdu: number
  flat: number
}

const NOTHING = new PoissonCounts(0)

export class PixelSeries {
  readonly cell: Cell
  private readonly series: Series
  private readonly draws: Draws
  private readonly darkCounts: PoissonCounts
  private readonly flatCounts: PoissonCounts
  private readonly places: Place[]
  private readonly values: Float64Array
  private readonly valuesWithout: Float64Array

  constructor(series: Series, draws: Draws) {
    const { sensor, calibration, subSeconds, subCount } = series
    this.series = series
    this.draws = draws
    this.cell = new Cell(sensor)
    this.darkCounts = new PoissonCounts(this.cell.darkElectronsPerSecond * subSeconds)
    this.flatCounts = new PoissonCounts((calibration.flatElectrons ?? 0) / this.cell.perPixel)
    this.places = Array.from({ length: Math.min(calibration.ditherPositions ?? 1, subCount) }, () => ({
      offsetsAdu: new Float64Array(this.cell.perPixel),
      darkAdu: 0,
      flat: 1,
    }))
    this.values = new Float64Array(subCount)
    this.valuesWithout = new Float64Array(subCount)
  }

  /**
   * The pixel in the sum of all subs, in electrons: with what is imaged, and with the very same sky, dark current and
   * readout but without it.
   *
   * @param background  counts of the sky on one cell in one sub
   * @param imaged  counts of what is imaged, for each cell of the pixel
   */
  stack(background: PoissonCounts, imaged: readonly PoissonCounts[]): { withTarget: number; without: number } {
    const { combine, subCount } = this.series
    let first = 0
    for (const place of this.places) {
      this.takeMasters(place)
      for (let sub = first; sub < subCount; sub += this.places.length) this.takeSub(sub, place, background, imaged)
      first++
    }
    return {
      withTarget: combined(this.values, combine) * subCount,
      without: combined(this.valuesWithout, combine) * subCount,
    }
  }

  private takeSub(sub: number, place: Place, background: PoissonCounts, imaged: readonly PoissonCounts[]): void {
    const { cell, draws } = this
    let sum = 0
    let sumWithout = 0
    for (let i = 0; i < cell.perPixel; i++) {
      const offsetAdu = place.offsetsAdu[i] ?? 0
      const without = background.next(draws) + this.darkCounts.next(draws)
      const amplifier = draws.normal()
      const target = (imaged[i] ?? NOTHING).next(draws)
      sum += cell.read(without + target, offsetAdu, amplifier)
      sumWithout += cell.read(without, offsetAdu, amplifier)
    }
    const scale = cell.electronsPerAdu / place.flat
    this.values[sub] = (sum - place.darkAdu) * scale
    this.valuesWithout[sub] = (sumWithout - place.darkAdu) * scale
  }

  /** Masters are binned as the subs are. */
  private takeMasters(place: Place): void {
    const { cell, draws } = this
    const { darkFrames, flatFrames, flatElectrons, biasFrames } = this.series.calibration
    const { offsetsAdu } = place
    const darkAdu = (cell.darkElectronsPerSecond * this.series.subSeconds) / cell.electronsPerAdu
    place.darkAdu = 0
    let flatAdu = 0
    for (let i = 0; i < cell.perPixel; i++) {
      const offsetAdu = cell.offsetAdu(draws)
      offsetsAdu[i] = offsetAdu
      if (darkFrames !== undefined) place.darkAdu += cell.master(darkFrames, this.darkCounts, offsetAdu, draws)
      else if (biasFrames === undefined) place.darkAdu += offsetAdu + darkAdu
      else place.darkAdu += cell.master(biasFrames, NOTHING, offsetAdu, draws) + darkAdu
      if (flatFrames !== undefined) flatAdu += cell.master(flatFrames, this.flatCounts, offsetAdu, draws) - offsetAdu
    }
    if (flatElectrons !== undefined) place.flat = (flatAdu * cell.electronsPerAdu) / flatElectrons
  }
}

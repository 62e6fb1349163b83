// A sensor and its converter, as electrons meet them: wells fill, the amplifier trembles, the converter rounds and clips.

import { Draws } from './draws.ts'
import { Moments } from './moments.ts'
import type { PoissonCounts } from './poisson-counts.ts'

export interface Sensor {
  readNoiseElectrons: number
  /** Whether the read noise was measured on frames of whole ADU. */
  readNoiseIncludesQuantization: boolean
  /** null: an ideal converter that neither rounds nor clips. */
  electronsPerAdu: number | null
  offsetAdu: number
  bitDepth: number
  fullWellElectrons: number
  /** Of one physical pixel. */
  darkElectronsPerPixelSecond: number
  binning: number
  binningKind: 'software' | 'on-chip'
}

/** What is read at once: a physical pixel, or the charge of several that were summed on the chip. */
export class Cell {
  /** Cells whose numbers are summed into one pixel of the frame. */
  readonly perPixel: number
  readonly electronsPerAdu: number
  readonly darkElectronsPerSecond: number
  private readonly sensor: Sensor
  private readonly amplifierNoiseAdu: number
  private readonly highestAdu: number

  constructor(sensor: Sensor) {
    const area = sensor.binning * sensor.binning
    this.sensor = sensor
    this.perPixel = sensor.binningKind === 'software' ? area : 1
    this.darkElectronsPerSecond = (sensor.darkElectronsPerPixelSecond * area) / this.perPixel
    this.electronsPerAdu = sensor.electronsPerAdu ?? 1
    this.highestAdu = 2 ** sensor.bitDepth - 1
    const asMeasured = sensor.readNoiseElectrons / this.electronsPerAdu
    this.amplifierNoiseAdu =
      sensor.electronsPerAdu !== null && sensor.readNoiseIncludesQuantization
        ? amplifierNoiseBehind(asMeasured)
        : asMeasured
  }

  /** Level without light of one physical pixel: no two alike, so that rounding falls differently on each. */
  offsetAdu(draws: Draws): number {
    return this.sensor.offsetAdu + 4 * draws.uniform()
  }

  /** The number that the converter gives, in ADU. */
  read(electrons: number, offsetAdu: number, amplifier: number): number {
    const { sensor } = this
    const held = electrons < sensor.fullWellElectrons ? electrons : sensor.fullWellElectrons
    const level = held / this.electronsPerAdu + this.amplifierNoiseAdu * amplifier + offsetAdu
    if (sensor.electronsPerAdu === null) return level
    const whole = Math.floor(level + 0.5)
    return whole < 0 ? 0 : whole > this.highestAdu ? this.highestAdu : whole
  }

  /** Mean of frames with so many electrons a cell on average, in ADU: the master of one cell. */
  master(frames: number, counts: PoissonCounts, offsetAdu: number, draws: Draws): number {
    let sum = 0
    for (let i = 0; i < frames; i++) sum += this.read(counts.next(draws), offsetAdu, draws.normal())
    return sum / frames
  }
}

/**
 * The amplifier's own noise in ADU, such that the scatter of bias frames in whole ADU comes out as measured. Found by
 * trial: bias frames are taken, their scatter is taken, and the noise is corrected until it fits.
 */
function amplifierNoiseBehind(measuredAdu: number): number {
  const known = AMPLIFIERS.get(measuredAdu)
  if (known !== undefined) return known
  const draws = new Draws(1)
  const amplifier = Float64Array.from({ length: 500_000 }, () => draws.normal())
  const offsets = amplifier.map(() => draws.uniform())
  let noise = measuredAdu
  for (let trial = 0; trial < 4; trial++) {
    const scatter = new Moments()
    amplifier.forEach((value, i) => {
      const offset = offsets[i] ?? 0
      scatter.add(Math.floor(value * noise + offset + 0.5) - offset)
    })
    noise = Math.sqrt(Math.max(0, noise * noise + measuredAdu * measuredAdu - scatter.variance))
  }
  AMPLIFIERS.set(measuredAdu, noise)
  return noise
}

/** Amplifiers that were measured before: the trial takes longer than many a frame. */
const AMPLIFIERS = new Map<number, number>()

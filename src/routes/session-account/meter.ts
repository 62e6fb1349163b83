// What was measured on a sub, in electrons.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { darkCurrentElectronsPerPixelSecond, type AccountSub, type DarkCurrentLaw } from '../../engine/index.ts'
import type { FilterSetup } from './filters.ts'
import type { BadLines } from './log/bad-lines.ts'
import type { Columns } from './log/sub-log.ts'
import type { Remarks } from './remarks.ts'

export interface AduScale {
  electronsPerAdu: number
  offsetAdu: number
  /** What noise leaves of the offset at the lowest. */
  lowestAdu: number
}

export interface Sensor {
  /** null where no line needs it. */
  adu: AduScale | null
  darkLaw: DarkCurrentLaw | null
}

/** Reads what was measured on a sub; null, and a bad line, where it cannot be. */
export class Meter {
  readonly #sensor: Sensor
  readonly #columns: Columns
  readonly #remarks: Remarks
  readonly #bad: BadLines
  readonly #darks = new Map<number, number>()

  constructor(sensor: Sensor, columns: Columns, remarks: Remarks, bad: BadLines) {
    this.#sensor = sensor
    this.#columns = columns
    this.#remarks = remarks
    this.#bad = bad
  }

  read(place: number, setup: FilterSetup): AccountSub | null {
    const dark = this.#dark(place, setup)
    const sky = this.#sky(place, dark, setup)
    if (sky === null) return null
    const subSeconds = this.#columns.subSeconds[place]!
    const flux = this.#columns.relativeStarFlux[place]!
    if (Number.isNaN(flux)) this.#remark('no-star-flux', place)
    return {
      subSeconds,
      transparency: Number.isNaN(flux) ? 1 : flux,
      skyElectronsPerPixelSecond: sky,
      darkElectronsPerPixelSecond: dark,
      capturedFraction: setup.capturedAt(this.#fwhmArcsec(place, setup)),
      master: setup.masterOf(subSeconds),
    }
  }

  #dark(place: number, setup: FilterSetup): number {
    const { darkLaw } = this.#sensor
    const temperatureCelsius = this.#columns.sensorCelsius[place]!
    if (Number.isNaN(temperatureCelsius) || darkLaw === null) return setup.reference.darkElectronsPerPixelSecond
    const known = this.#darks.get(temperatureCelsius)
    if (known !== undefined) return known
    const { electronsPerPixelSecond } = darkCurrentElectronsPerPixelSecond({ ...darkLaw, temperatureCelsius })
    this.#darks.set(temperatureCelsius, electronsPerPixelSecond)
    return electronsPerPixelSecond
  }

  #sky(place: number, dark: number, setup: FilterSetup): number | null {
    const measured = this.#columns.backgroundElectronsPerPixelSecond[place]!
    if (!Number.isNaN(measured)) return measured
    const { adu } = this.#sensor
    const backgroundAdu = this.#columns.backgroundAdu[place]!
    if (Number.isNaN(backgroundAdu) || adu === null) {
      this.#remark('no-background', place)
      return setup.reference.skyElectronsPerPixelSecond
    }
    const rate = ((backgroundAdu - adu.offsetAdu) * adu.electronsPerAdu) / this.#columns.subSeconds[place]!
    if (backgroundAdu < adu.lowestAdu) {
      const lowest = Number(adu.lowestAdu.toFixed(1))
      const message = `${backgroundAdu} ADU given; wanted: at least ${lowest} ADU, the camera’s offset of ${adu.offsetAdu} ADU less its noise`
      this.#bad.add(this.#columns.line[place]!, 'backgroundAdu', message)
      return null
    }
    if (rate < dark) this.#remark('background-below-dark', place)
    return Math.max(0, rate - dark)
  }

  #fwhmArcsec(place: number, setup: FilterSetup): number {
    const fwhmArcsec = this.#columns.fwhmArcsec[place]!
    if (!Number.isNaN(fwhmArcsec)) return fwhmArcsec
    const relativeFwhm = this.#columns.relativeFwhm[place]!
    return Number.isNaN(relativeFwhm) ? setup.fwhmArcsec : setup.fwhmArcsec * relativeFwhm
  }

  #remark(kind: 'no-star-flux' | 'no-background' | 'background-below-dark', place: number): void {
    this.#remarks.add(kind, this.#columns.line[place]!)
  }
}

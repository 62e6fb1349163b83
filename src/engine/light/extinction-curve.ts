// Extinction over wavelength from one number, the extinction in V: molecules and ozone of clear air at sea level,
// and as much aerosol as makes up the rest at 550 nm. Air clearer than that has the same colour, scaled down.

import { requireInRange } from '../errors.ts'
import { curveSegments, segmentsAt } from './curve.ts'
import { rayleighExtinction, visualExtinction } from './extinction.ts'

/** The wavelength at which the caller's extinction in V holds. */
export const VISUAL_NM = 550

/** Exponent of the aerosol's wavelength dependence (Hayes & Latham 1975). */
const AEROSOL_EXPONENT = -0.8

/** Absorption by ozone, cm-1 of pure gas: Huggins bands and Chappuis band. Only its shape is used. */
export const OZONE_ABSORPTION = {
  source: 'Bird & Riordan 1986, Journal of Climate and Applied Meteorology 25, 87, Table 1, thinned (from memory)',
  table: [
    { wavelengthNm: 300, value: 10 },
    { wavelengthNm: 310, value: 2.7 },
    { wavelengthNm: 320, value: 0.8 },
    { wavelengthNm: 330, value: 0.16 },
    { wavelengthNm: 340, value: 0.04 },
    { wavelengthNm: 350, value: 0.007 },
    { wavelengthNm: 360, value: 0 },
    { wavelengthNm: 440, value: 0 },
    { wavelengthNm: 460, value: 0.006 },
    { wavelengthNm: 480, value: 0.014 },
    { wavelengthNm: 500, value: 0.03 },
    { wavelengthNm: 510, value: 0.04 },
    { wavelengthNm: 520, value: 0.048 },
    { wavelengthNm: 540, value: 0.075 },
    { wavelengthNm: 550, value: 0.085 },
    { wavelengthNm: 570, value: 0.12 },
    { wavelengthNm: 593, value: 0.119 },
    { wavelengthNm: 610, value: 0.12 },
    { wavelengthNm: 630, value: 0.09 },
    { wavelengthNm: 656, value: 0.065 },
    { wavelengthNm: 690, value: 0.028 },
    { wavelengthNm: 718, value: 0.015 },
    { wavelengthNm: 762.5, value: 0.006 },
    { wavelengthNm: 800, value: 0 },
    { wavelengthNm: 1100, value: 0 },
  ],
} as const

const OZONE_SEGMENTS = curveSegments(OZONE_ABSORPTION.table)

/** Mag of ozone per unit of the table: Green's 0.016 mag is the absorption at 510 nm, as in his model. */
const OZONE_MAG = visualExtinction(0).ozone / segmentsAt(OZONE_SEGMENTS, 510)

const CLEAR_AIR_VISUAL_MAG = clearAirMag(VISUAL_NM)

/** A curve of extinction, by the two numbers that make it out of the fixed shapes. */
export interface ExtinctionCurve {
  /** Scale of molecules and ozone; 1 where there is enough extinction for them. */
  readonly clearAirScale: number
  /** Aerosol at 550 nm, mag per airmass. */
  readonly aerosolMag: number
}

/** Molecules and ozone at sea level, mag per airmass. */
function clearAirMag(wavelengthNm: number): number {
  return rayleighExtinction({ wavelengthNm, heightKm: 0 }) + OZONE_MAG * segmentsAt(OZONE_SEGMENTS, wavelengthNm)
}

/**
 * Extinction curve of an extinction in V.
 *
 * @param extinctionMagPerAirmass  at 550 nm; 0 to 5
 * @returns curve for {@link extinctionAt}
 * @throws {EngineError} `out-of-range`
 * @derived Hayes & Latham 1975 (molecules, aerosol λ^-0.8) and ozone, with the aerosol part scaled to the number
 */
export function extinctionCurve(extinctionMagPerAirmass: number): ExtinctionCurve {
  requireInRange('extinctionMagPerAirmass', extinctionMagPerAirmass, 0, 5)
  return {
    clearAirScale: Math.min(1, extinctionMagPerAirmass / CLEAR_AIR_VISUAL_MAG),
    aerosolMag: Math.max(0, extinctionMagPerAirmass - CLEAR_AIR_VISUAL_MAG),
  }
}

/**
 * Extinction at a wavelength.
 *
 * @param curve  from {@link extinctionCurve}
 * @param wavelengthNm  300 to 1100
 * @returns mag per airmass
 * @throws {EngineError} `out-of-range`
 * @source Hayes & Latham 1975, ApJ 197, 593; ozone see {@link OZONE_ABSORPTION}
 */
export function extinctionAt(curve: ExtinctionCurve, wavelengthNm: number): number {
  const aerosol = curve.aerosolMag * (wavelengthNm / VISUAL_NM) ** AEROSOL_EXPONENT
  return curve.clearAirScale * clearAirMag(wavelengthNm) + aerosol
}

// Physical constants, each with unit, uncertainty and source. Nothing else in the engine writes them again.

export interface Constant {
  readonly value: number
  readonly unit: string
  /** 0 when exact by definition. */
  readonly standardUncertainty: number
  readonly source: string
}

const SI = 'SI Brochure, 9th edition (2019): exact by definition'

export const PLANCK_JOULE_SECONDS: Constant = {
  value: 6.62607015e-34,
  unit: 'J s',
  standardUncertainty: 0,
  source: SI,
}

export const LIGHT_SPEED_METERS_PER_SECOND: Constant = {
  value: 299792458,
  unit: 'm s-1',
  standardUncertainty: 0,
  source: SI,
}

export const ELEMENTARY_CHARGE_COULOMBS: Constant = {
  value: 1.602176634e-19,
  unit: 'C',
  standardUncertainty: 0,
  source: SI,
}

export const BOLTZMANN_ELECTRONVOLTS_PER_KELVIN: Constant = {
  value: 8.617333262e-5,
  unit: 'eV K-1',
  standardUncertainty: 0,
  source: 'CODATA 2018, from the exact SI values of k and e (rounded)',
}

export const ZERO_CELSIUS_KELVIN: Constant = { value: 273.15, unit: 'K', standardUncertainty: 0, source: SI }

/** Arcseconds in a radian, 648000/π. */
export const ARCSEC_PER_RADIAN: Constant = {
  value: 648000 / Math.PI,
  unit: 'arcsec rad-1',
  standardUncertainty: 0,
  source: 'definition of the arcsecond',
}

export const SIDEREAL_DAY_SECONDS: Constant = {
  value: 86164.0905,
  unit: 's',
  standardUncertainty: 0.0001,
  source: 'mean sidereal day, Explanatory Supplement to the Astronomical Almanac (from memory)',
}

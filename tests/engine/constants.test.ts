import t from 'tap'
import * as constants from '../../src/engine/constants.ts'
import { near } from '../support/near.ts'

void t.test('constants that are exact by definition (SI Brochure, 9th edition, 2019)', (t) => {
  t.equal(constants.PLANCK_JOULE_SECONDS.value, 6.62607015e-34)
  t.equal(constants.LIGHT_SPEED_METERS_PER_SECOND.value, 299792458)
  t.equal(constants.ELEMENTARY_CHARGE_COULOMBS.value, 1.602176634e-19)
  t.equal(constants.ZERO_CELSIUS_KELVIN.value, 273.15)
  t.end()
})

void t.test('Boltzmann constant in electronvolts is k/e (CODATA 2018)', (t) => {
  near(t, constants.BOLTZMANN_ELECTRONVOLTS_PER_KELVIN.value, 1.380649e-23 / 1.602176634e-19, 1e-10, 'k/e')
  t.end()
})

void t.test('arcseconds in a radian', (t) => {
  near(t, constants.ARCSEC_PER_RADIAN.value, 206264.80624709636, 1e-15, '648000/π')
  t.end()
})

void t.test('the sky turns 15.041 arcsec a second (sidereal day from memory)', (t) => {
  near(t, 1296000 / constants.SIDEREAL_DAY_SECONDS.value, 15.0410686, 1e-8, 'arcsec per second')
  t.end()
})

void t.test('every constant has a unit and a source, and an uncertainty unless it is exact', (t) => {
  const all = Object.entries(constants)
  t.ok(all.length >= 7)
  for (const [name, { value, unit, standardUncertainty, source }] of all) {
    t.ok(value > 0, name)
    t.match(unit, /\S/, `${name} has a unit`)
    t.match(source, /\S/, `${name} has a source`)
    t.ok(standardUncertainty >= 0 && standardUncertainty < 1e-6 * value, `${name} has an uncertainty`)
  }
  t.equal(constants.SIDEREAL_DAY_SECONDS.standardUncertainty, 0.0001)
  t.end()
})

import fc from 'fast-check'
import t from 'tap'
import { ARCSEC_PER_RADIAN } from '../../../src/engine/constants.ts'
import {
  driftArcsecPerSecond,
  fieldRotationArcsecPerSecond,
  longestSecondsForTrail,
  rotationSmearPx,
} from '../../../src/engine/detector/tracking.ts'
import { near, refuses, within } from '../../support/near.ts'

const DRIFT_SCAN_ARCSEC_PER_PX = (ARCSEC_PER_RADIAN.value * 9e-3) / 750

void t.test('D-TRK-01 arcseconds per milliradian (computed)', (t) => {
  within(t, ARCSEC_PER_RADIAN.value / 1000, 206.264806, 5e-7, 'arcseconds')
  t.end()
})

void t.test(
  'D-TRK-05 the sky turns 15.041069″ a second (computed; published 15.04108444 for a day of 86164 s)',
  (t) => {
    within(t, driftArcsecPerSecond(0), 15.041069, 5e-7, 'at the equator')
    near(t, driftArcsecPerSecond(0), 15.04108444, 2e-6, 'published')
    t.end()
  },
)

void t.test('D-TRK-06 time for an undriven star to cross a pixel (drift-scan note: 0.164561 and 0.175122 s)', (t) => {
  const seconds = (declinationDegrees: number) =>
    longestSecondsForTrail({
      pxPerSecond: driftArcsecPerSecond(declinationDegrees) / DRIFT_SCAN_ARCSEC_PER_PX,
      allowedTrailPx: 1,
    })
  near(t, seconds(0) ?? 0, 0.164561, 2e-4, 'declination 0°')
  near(t, seconds(20) ?? 0, 0.175122, 2e-4, 'declination 20°')
  within(t, seconds(0) ?? 0, 0.16456, 5e-6, 'declination 0°, recomputed')
  within(t, seconds(20) ?? 0, 0.17512, 5e-6, 'declination 20°, recomputed')
  t.end()
})

const dms = (degrees: number, minutes: number, seconds: number) => degrees + minutes / 60 + seconds / 3600

for (const { id, source, latitude, azimuth, altitude, rate, absolute } of [
  {
    id: 'D-TRK-07',
    source: 'published table of a double star, magnitude',
    latitude: 43.7917,
    azimuth: dms(157, 10, 29),
    altitude: dms(73, 8, 28.1),
    rate: 34.506,
    absolute: 1e-3,
  },
  {
    id: 'D-TRK-08',
    source: 'published table of a double star, magnitude',
    latitude: 43.7917,
    azimuth: dms(92, 45, 18.9),
    altitude: dms(45, 30, 25.3),
    rate: 0.74472,
    absolute: 1e-3,
  },
  {
    id: 'D-TRK-09',
    source: 'computed, numerical derivative of q',
    latitude: 50,
    azimuth: 130.66,
    altitude: 51.7301,
    rate: 10.1708,
    absolute: 2e-4,
  },
  {
    id: 'D-TRK-10',
    source: 'computed, numerical derivative of q',
    latitude: 50,
    azimuth: 180,
    altitude: 60,
    rate: 19.3364,
    absolute: 5e-5,
  },
  {
    id: 'D-TRK-11',
    source: 'computed, numerical derivative of q',
    latitude: -30,
    azimuth: 161.633,
    altitude: 57.1308,
    rate: 22.7785,
    absolute: 2e-4,
  },
  {
    id: 'D-TRK-12',
    source: 'due east from the equator',
    latitude: 0,
    azimuth: 90,
    altitude: 45,
    rate: 0,
    absolute: 1e-9,
  },
  {
    id: 'D-TRK-13',
    source: 'full transformation with astropy 5.2.1',
    latitude: 50,
    azimuth: 144.716,
    altitude: 55.8964,
    rate: 14.0757,
    absolute: 1e-3,
  },
]) {
  void t.test(`${id} field rotation (${source})`, (t) => {
    const turn = fieldRotationArcsecPerSecond({
      latitudeDegrees: latitude,
      azimuthDegrees: azimuth,
      altitudeDegrees: altitude,
    })
    within(t, turn, rate, absolute, 'arcseconds per second')
    t.end()
  })
}

void t.test('D-TRK-14 smear in the corner (computed)', (t) => {
  const smear = rotationSmearPx({ rotationArcsecPerSecond: 14.0757, seconds: 30, radiusPx: 2800 })
  within(t, smear, 5.7322, 5e-5, 'px')
  const other = rotationSmearPx({ rotationArcsecPerSecond: -14.0757, seconds: 30, radiusPx: 2800 })
  t.equal(other, smear, 'whichever way it turns')
  t.end()
})

void t.test('D-TRK-15 trail of an undriven star (computed)', (t) => {
  within(t, (driftArcsecPerSecond(35) * 8) / 1.94, 50.808, 5e-4, 'px')
  t.end()
})

void t.test('what does not move sets no bound', (t) => {
  t.equal(driftArcsecPerSecond(90), 0, 'the pole stands still')
  t.equal(longestSecondsForTrail({ pxPerSecond: driftArcsecPerSecond(-90), allowedTrailPx: 1 }), null)
  for (const azimuthDegrees of [90, 270]) {
    const turn = fieldRotationArcsecPerSecond({ latitudeDegrees: 50, azimuthDegrees, altitudeDegrees: 30 })
    t.equal(Math.abs(turn), 0, `no rotation at azimuth ${azimuthDegrees}°`)
  }
  t.equal(longestSecondsForTrail({ pxPerSecond: 5e-324, allowedTrailPx: 1 }), null, 'slower than can be reckoned')
  t.end()
})

const logScale = (min: number, max: number) => fc.double({ min, max, noNaN: true }).map((exponent) => 10 ** exponent)

void t.test('property: the longest sub smears as far as allowed', (t) => {
  fc.assert(
    fc.property(
      fc.double({ min: -89, max: 89, noNaN: true }),
      fc.double({ min: 0, max: 80, noNaN: true }),
      fc.double({ min: 0, max: 89, noNaN: true }),
      logScale(1, 4),
      logScale(-1, 2),
      (latitudeDegrees, azimuthDegrees, altitudeDegrees, radiusPx, allowedTrailPx) => {
        const rotationArcsecPerSecond = fieldRotationArcsecPerSecond({
          latitudeDegrees,
          azimuthDegrees,
          altitudeDegrees,
        })
        const pxPerSecond = rotationSmearPx({ rotationArcsecPerSecond, seconds: 1, radiusPx })
        const seconds = longestSecondsForTrail({ pxPerSecond, allowedTrailPx }) ?? 0
        const smear = rotationSmearPx({ rotationArcsecPerSecond, seconds, radiusPx })
        return Math.abs(smear / allowedTrailPx - 1) < 1e-12
      },
    ),
    { numRuns: 300, seed: 73 },
  )
  t.pass('300 fields')
  t.end()
})

void t.test('property: east and west of the meridian the field turns alike', (t) => {
  fc.assert(
    fc.property(
      fc.double({ min: 0, max: 180, noNaN: true }),
      fc.double({ min: 0, max: 89, noNaN: true }),
      (azimuth, altitudeDegrees) => {
        const at = (azimuthDegrees: number) =>
          fieldRotationArcsecPerSecond({ latitudeDegrees: 45, azimuthDegrees, altitudeDegrees })
        return Math.abs(at(azimuth) - at(360 - azimuth)) <= 1e-9 * (1 + Math.abs(at(azimuth)))
      },
    ),
    { numRuns: 300, seed: 74 },
  )
  t.pass('300 directions')
  t.end()
})

void t.test('refuses directions that are none', (t) => {
  const field = { latitudeDegrees: 50, azimuthDegrees: 100, altitudeDegrees: 40 }
  refuses(t, () => driftArcsecPerSecond(91), 'out-of-range', 'declination')
  refuses(t, () => fieldRotationArcsecPerSecond({ ...field, latitudeDegrees: -91 }), 'out-of-range', 'latitude')
  refuses(t, () => fieldRotationArcsecPerSecond({ ...field, azimuthDegrees: 361 }), 'out-of-range', 'azimuth')
  refuses(t, () => fieldRotationArcsecPerSecond({ ...field, altitudeDegrees: 90 }), 'out-of-range', 'zenith')
  const turn = { rotationArcsecPerSecond: 1, seconds: 1, radiusPx: 1 }
  refuses(t, () => rotationSmearPx({ ...turn, rotationArcsecPerSecond: Infinity }), 'out-of-range', 'rotation')
  refuses(t, () => rotationSmearPx({ ...turn, seconds: -1 }), 'out-of-range', 'seconds')
  refuses(t, () => rotationSmearPx({ ...turn, radiusPx: -1 }), 'out-of-range', 'radius')
  refuses(t, () => longestSecondsForTrail({ pxPerSecond: -1, allowedTrailPx: 1 }), 'out-of-range', 'rate')
  refuses(t, () => longestSecondsForTrail({ pxPerSecond: 1, allowedTrailPx: 0 }), 'out-of-range', 'trail')
  t.end()
})

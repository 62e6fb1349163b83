import fc from 'fast-check'
import t from 'tap'
import { setPointAdvice, type SetPointQuestion } from '../../../src/engine/detector/set-point.ts'
import { near, refuses, within } from '../../support/near.ts'

// Dark current equals the sky at 20 °C and halves every 6 °C: √(D/S) = 0.25 is 24 °C colder, at -4 °C.
const QUESTION: SetPointQuestion = {
  law: { reference: { electronsPerPixelSecond: 0.5, atCelsius: 20 }, doublingCelsius: 6 },
  ambientCelsius: [14, 16, 12, 10],
  coolerReachCelsius: 35,
  marginCelsius: 3,
  skyElectronsPerPixelSecond: 0.5,
  darkToSkyNoise: 0.25,
  libraryCelsius: [],
}

void t.test('free choice: the warmest whole degree that is cold enough; the warmest hour sets the coldest', (t) => {
  const advice = setPointAdvice({ ...QUESTION, darkToSkyNoise: 0.26 })
  t.match(advice, {
    celsius: -4,
    reason: 'cold-enough',
    library: 'none-given',
    coldestReachableCelsius: -16,
    warmestHourIndex: 1,
    warmestHeldCelsius: 10,
    heldAllNight: true,
    isColdEnough: true,
    darkElectronsPerPixelSecond: 0.5 / 16,
    darkToSkyNoise: 0.25,
  })
  within(t, Number(advice.warmestColdEnoughCelsius), 20 + 12 * Math.log2(0.26), 1e-9, 'exactly')
  near(t, advice.noiseSavedByColdestShare, 1 - Math.sqrt((1 + 1 / 64) / (1 + 1 / 16)), 1e-12, 'colder buys 2.2 %')
  t.end()
})

void t.test('a whole degree that was meant to be cold enough is', (t) => {
  t.match(setPointAdvice(QUESTION), { celsius: -4, reason: 'cold-enough' })
  t.end()
})

void t.test('where no whole degree lies between the bounds the bound itself is taken', (t) => {
  const narrow = { ...QUESTION, ambientCelsius: [28.65], darkToSkyNoise: 0.26 }
  const advice = setPointAdvice(narrow)
  within(t, advice.celsius, 20 + 12 * Math.log2(0.26), 1e-9, 'warmest that is cold enough')
  t.equal(advice.reason, 'cold-enough')
  within(t, advice.coldestReachableCelsius, -3.35, 1e-12, 'coldest')
  const limited = setPointAdvice({ ...QUESTION, ambientCelsius: [20.5, 30.7] })
  t.match(limited, { celsius: -1, reason: 'cooler-limited' }, 'rounded up: the cooler gets to -1.3')
  const noCooler = setPointAdvice({ ...QUESTION, ambientCelsius: [10.5], coolerReachCelsius: 0, marginCelsius: 0 })
  t.match(noCooler, { celsius: 10.5, reason: 'cooler-limited', isColdEnough: false, noiseSavedByColdestShare: 0 })
  const belowZero = setPointAdvice({ ...QUESTION, ambientCelsius: [31.5, 32.5], marginCelsius: 2 })
  t.ok(Object.is(belowZero.celsius, 0), 'rounding up -0.5 gives 0, not -0')
  t.end()
})

void t.test('a cooler does not heat: nothing is held above the coldest hour', (t) => {
  const cold = setPointAdvice({ ...QUESTION, ambientCelsius: [-2, -8.5] })
  t.match(cold, { celsius: -9, warmestHeldCelsius: -8.5, reason: 'cold-enough', heldAllNight: true })
  const swing = setPointAdvice({ ...QUESTION, ambientCelsius: [20, -20], coolerReachCelsius: 30, marginCelsius: 0 })
  t.match(swing, { celsius: -10, heldAllNight: false, coldestReachableCelsius: -10, warmestHeldCelsius: -10 })
  t.end()
})

void t.test('no cooling is needed where the warmest hour is cold enough', (t) => {
  const bright = { ...QUESTION, skyElectronsPerPixelSecond: 500 }
  t.match(setPointAdvice(bright), { celsius: 10, reason: 'cooling-not-needed', isColdEnough: true })
  t.match(setPointAdvice({ ...bright, libraryCelsius: [5, -10] }), { celsius: 5, reason: 'cooling-not-needed' })
  const dark = { reference: { electronsPerPixelSecond: 0, atCelsius: 0 } }
  const always = setPointAdvice({ ...QUESTION, law: dark })
  t.match(always, {
    warmestColdEnoughCelsius: null,
    reason: 'cooling-not-needed',
    isColdEnough: true,
    darkToSkyNoise: 0,
  })
  t.match(setPointAdvice({ ...QUESTION, law: dark, libraryCelsius: [-10, 0] }), { celsius: 0, library: 'used' })
  t.end()
})

void t.test('no temperature at all may be cold enough', (t) => {
  const hot = { reference: { electronsPerPixelSecond: 1e6, atCelsius: -150 }, doublingCelsius: 50 }
  const never = { ...QUESTION, law: hot }
  t.match(setPointAdvice(never), { warmestColdEnoughCelsius: null, reason: 'cooler-limited', isColdEnough: false })
  t.match(setPointAdvice({ ...never, libraryCelsius: [-10, 0] }), { celsius: -10, reason: 'cooler-limited' })
  t.end()
})

void t.test("out of the caller's darks: the warmest that is cold enough", (t) => {
  const advice = setPointAdvice({ ...QUESTION, libraryCelsius: [-15, 0, -10, -5, -20] })
  t.match(advice, { celsius: -5, reason: 'cold-enough', library: 'used', isColdEnough: true })
  t.end()
})

void t.test('darks that are not cold enough, or that cannot be held', (t) => {
  t.match(setPointAdvice({ ...QUESTION, libraryCelsius: [5, 0] }), {
    celsius: 0,
    reason: 'library-not-cold-enough',
    library: 'used',
    isColdEnough: false,
  })
  t.match(setPointAdvice({ ...QUESTION, libraryCelsius: [-20, 15] }), {
    celsius: -4,
    reason: 'cold-enough',
    library: 'out-of-reach',
  })
  const summer = { ...QUESTION, ambientCelsius: [30], libraryCelsius: [0, 5, -10] }
  t.match(setPointAdvice(summer), { celsius: 0, reason: 'cooler-limited', library: 'used' })
  t.match(
    setPointAdvice({ ...QUESTION, libraryCelsius: [-16] }),
    { celsius: -16, library: 'used' },
    'the coldest itself',
  )
  t.end()
})

void t.test('the advice lies between its bounds, and is cold enough where it says so', (t) => {
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: -40, max: 40, noNaN: true }), { minLength: 1, maxLength: 12 }),
      fc.double({ min: 0, max: 60, noNaN: true }),
      fc.double({ min: 0, max: 5, noNaN: true }),
      fc.array(fc.integer({ min: -40, max: 30 }), { maxLength: 5 }),
      fc.double({ min: -4, max: 2, noNaN: true }),
      (ambientCelsius, coolerReachCelsius, marginCelsius, libraryCelsius, exponent) => {
        const skyElectronsPerPixelSecond = 10 ** exponent
        const bounds = { ambientCelsius, coolerReachCelsius, marginCelsius, libraryCelsius, skyElectronsPerPixelSecond }
        const advice = setPointAdvice({ ...QUESTION, ...bounds })
        return (
          advice.celsius >= advice.coldestReachableCelsius - 1e-9 &&
          advice.celsius <= advice.warmestHeldCelsius + 1e-9 &&
          advice.isColdEnough === advice.darkToSkyNoise <= 0.25 * (1 + 1e-9) &&
          (advice.library !== 'used' || libraryCelsius.includes(advice.celsius))
        )
      },
    ),
    { numRuns: 1000, seed: 5 },
  )
  t.end()
})

void t.test('what has no meaning is refused', (t) => {
  for (const change of [
    { ambientCelsius: [] },
    { ambientCelsius: [70] },
    { libraryCelsius: [-200] },
    { coolerReachCelsius: -1 },
    { marginCelsius: 21 },
    { skyElectronsPerPixelSecond: 0 },
    { darkToSkyNoise: 0 },
  ] satisfies Partial<SetPointQuestion>[]) {
    refuses(t, () => setPointAdvice({ ...QUESTION, ...change }), 'out-of-range', Object.keys(change).join())
  }
  t.end()
})

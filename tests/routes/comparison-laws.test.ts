// What must hold of a comparison whatever the set-ups.

import fc from 'fast-check'
import t from 'tap'
import { camera, setup, ask, hoursOf, rowOf } from './comparison-setups.ts'

const SEED = Number(process.env.FUZZ_SEED ?? 20261125)
const between = (low: number, high: number) =>
  fc.double({ min: Math.log(low), max: Math.log(high), noNaN: true }).map(Math.exp)

const anySetup = fc
  .record({
    aperture: between(40, 400),
    ratio: between(3, 10),
    read: between(0.5, 12),
    pixel: between(2, 9),
    overhead: between(0.5, 60),
    price: fc.constantFrom(500, 1000, 2000),
    mosaic: fc.boolean(),
  })
  .map(
    ({ aperture, ratio, read, pixel, overhead, price, mosaic }) =>
      (name: string) =>
        setup(name, {
          camera: camera({ readNoiseElectrons: read, pixelSizeUm: pixel, color: mosaic ? 'bayer' : 'mono' }),
          optics: { apertureMm: aperture, focalLengthMm: aperture * ratio, transmission: 0.9 },
          plan: { overheadSeconds: overhead, interruptionsPerHour: 1 },
          price,
        }),
  )

void t.test(`the order of the set-ups does not matter (seed ${SEED})`, (t) => {
  const shuffled = fc
    .array(anySetup, { minLength: 2, maxLength: 5 })
    .map((all) => all.map((make, index) => make(`set-up ${index}`)))
    .chain((all) => fc.record({ all: fc.constant(all), other: fc.shuffledSubarray(all, { minLength: all.length }) }))
  fc.assert(
    fc.property(shuffled, ({ all, other }) => {
      const one = ask(all)
      const two = ask(other)
      if (one.ranking.join() !== two.ranking.join()) throw new Error('another ranking')
      for (const summary of one.setups) {
        const again = two.setups.find(({ name }) => name === summary.name)
        if (JSON.stringify(again) !== JSON.stringify(summary)) throw new Error(`another ${summary.name}`)
      }
      for (const row of one.rows) {
        const again = two.rows.find((it) => it.setup === row.setup)
        if (JSON.stringify(again) !== JSON.stringify(row)) throw new Error(`another row of ${row.setup}`)
      }
    }),
    { numRuns: 60, seed: SEED },
  )
  t.pass('summaries, rows and ranking are the same')
  t.end()
})

void t.test(`a set-up equal but dearer never ranks better on money (seed ${SEED})`, (t) => {
  const many = fc.array(anySetup, { minLength: 1, maxLength: 4 })
  fc.assert(
    fc.property(many, between(0.01, 1e5), (all, more) => {
      const setups = all.map((make, index) => make(`set-up ${index}`))
      const [first] = setups
      if (first === undefined) return
      const { setups: ranked } = ask([...setups, { ...first, name: 'dearer', price: (first.price ?? 0) + more }])
      const [original, dearer] = [ranked[0], ranked.at(-1)]
      if ((dearer?.moneyRank ?? NaN) <= (original?.moneyRank ?? NaN)) throw new Error('it ranks better')
      if (dearer?.dominatedBy == null) throw new Error('nothing is said to dominate it')
      if (dearer.rank !== original?.rank) throw new Error('it is not as quick')
    }),
    { numRuns: 60, seed: SEED },
  )
  t.pass('it ranks behind')
  t.end()
})

void t.test(`a pixel split into four changes nothing per square arcsecond (seed ${SEED})`, (t) => {
  const numbers = fc.record({ read: between(0.5, 12), dark: between(1e-4, 1), pixel: between(3, 10) })
  fc.assert(
    fc.property(numbers, ({ read, dark, pixel }) => {
      const make = (name: string, side: number) =>
        setup(name, {
          camera: camera({
            pixelSizeUm: pixel / side,
            readNoiseElectrons: read / side,
            darkCurrent: { electronsPerPixelSecond: dark / side ** 2, atCelsius: 0 },
          }),
        })
      const answer = ask([make('whole', 1), make('split', 2)])
      const [whole, split] = [rowOf(answer, 0), rowOf(answer, 1)]
      const same = (a: number | null, b: number | null) => {
        if (a === null || b === null || Math.abs(a / b - 1) > 1e-9) throw new Error(`${a ?? ''} for ${b ?? ''}`)
      }
      same(split.totalHours, whole.totalHours)
      same(split.snrPerArcsec2InNight, whole.snrPerArcsec2InNight)
      same(split.luminanceSnrPerArcsec2InNight, whole.luminanceSnrPerArcsec2InNight)
    }),
    { numRuns: 60, seed: SEED },
  )
  t.pass('to 1e-9')
  t.end()
})

void t.test(`twice the aperture area at the same sky halves a sky-limited time (seed ${SEED})`, (t) => {
  fc.assert(
    fc.property(between(40, 200), between(20, 60), (apertureMm, snr) => {
      const make = (name: string, factor: number) =>
        setup(name, {
          camera: camera({ readNoiseElectrons: 0, darkCurrent: { electronsPerPixelSecond: 0, atCelsius: 0 } }),
          optics: { apertureMm: apertureMm * Math.sqrt(factor), focalLengthMm: 800, transmission: 0.9 },
          plan: { subSeconds: 60, overheadSeconds: 5, interruptionsPerHour: 1, refocusSeconds: 0 },
        })
      const answer = ask([make('small', 1), make('large', 2)], { goal: { snr } })
      if (answer.rows.some(({ channels }) => (channels[0]?.subCount ?? 0) < 2)) return
      const ratio = hoursOf(answer, 0) / hoursOf(answer, 1)
      if (Math.abs(ratio / 2 - 1) > 1e-9) throw new Error(`${ratio} times as quick`)
    }),
    { numRuns: 60, seed: SEED },
  )
  t.pass('to 1e-9, with all noise from sky and target')
  t.end()
})

void t.test(`adding dead time never helps (seed ${SEED})`, (t) => {
  const numbers = fc.record({
    read: between(0.3, 12),
    overhead: between(0.1, 120),
    more: between(1e-3, 600),
    perHour: between(0.05, 20),
    tracked: fc.option(between(5, 3000), { nil: undefined }),
    per: fc.constantFrom('overheadSeconds' as const, 'refocusSeconds' as const),
  })
  fc.assert(
    fc.property(numbers, ({ read, overhead, more, perHour, tracked, per }) => {
      const make = (name: string, extra: number) =>
        setup(name, {
          camera: camera({ readNoiseElectrons: read }),
          plan: {
            overheadSeconds: overhead,
            refocusSeconds: 60,
            [per]: (per === 'overheadSeconds' ? overhead : 60) + extra,
            interruptionsPerHour: perHour,
            ...(tracked !== undefined && { longestTrackedSeconds: tracked }),
          },
        })
      const answer = ask([make('less', 0), make('more', more)])
      if (hoursOf(answer, 1) < hoursOf(answer, 0) * (1 - 1e-12)) throw new Error('more dead time is quicker')
      const [less, late] = [rowOf(answer, 0), rowOf(answer, 1)]
      if ((late.snrInNight ?? NaN) > (less.snrInNight ?? NaN) * (1 + 1e-12)) throw new Error('the night yields more')
    }),
    { numRuns: 150, seed: SEED },
  )
  t.pass('neither between subs nor for focusing')
  t.end()
})

void t.test(`nor does it help where calibration frames leave a ceiling (seed ${SEED})`, (t) => {
  const numbers = fc.record({
    read: between(1, 10),
    overhead: between(0.5, 60),
    more: between(0.1, 300),
    perHour: between(0.05, 5),
    darkFrames: fc.integer({ min: 1, max: 40 }),
    ditherPositions: fc.constantFrom(1, 3, 20),
    snr: between(1, 30),
  })
  let reached = 0
  fc.assert(
    fc.property(numbers, ({ read, overhead, more, perHour, darkFrames, ditherPositions, snr }) => {
      const make = (name: string, overheadSeconds: number) =>
        setup(name, {
          camera: camera({ readNoiseElectrons: read }),
          plan: {
            overheadSeconds,
            refocusSeconds: 0,
            interruptionsPerHour: perHour,
            calibration: { darkFrames, ditherPositions },
          },
        })
      const answer = ask([make('less', overhead), make('more', overhead + more)], { goal: { snr, per: 'pixel' } })
      const [less, late] = [rowOf(answer, 0), rowOf(answer, 1)]
      if (late.reachable && !less.reachable) throw new Error('only with more dead time')
      if (!late.reachable) return
      reached++
      if (hoursOf(answer, 1) < hoursOf(answer, 0) * (1 - 1e-9)) throw new Error('more dead time is quicker')
    }),
    { numRuns: 150, seed: SEED },
  )
  t.ok(reached > 50, `${reached} goals were reached`)
  t.end()
})

// What must hold of a comparison whatever the set-ups, and what the trade knows.

import fc from 'fast-check'
import t from 'tap'
import { ProblemError } from '../../src/contract/problem.ts'
import { comparison } from '../../src/routes/comparison/index.ts'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { near } from '../support/near.ts'

type Request = Parameters<typeof comparison.handle>[0]
type Setup = Request['setups'][number]

const SEED = Number(process.env.FUZZ_SEED ?? 20261125)
const between = (low: number, high: number) =>
  fc.double({ min: Math.log(low), max: Math.log(high), noNaN: true }).map(Math.exp)

const camera = (over: Partial<Setup['camera']> = {}): Setup['camera'] => ({
  color: 'mono',
  pixelSizeUm: 4,
  widthPx: 6000,
  heightPx: 4000,
  quantumEfficiency: 0.8,
  readNoiseElectrons: 2,
  darkCurrent: { electronsPerPixelSecond: 0.01, atCelsius: 0 },
  ...over,
})

const bareSetup = (name: string): Setup => ({
  name,
  camera: camera(),
  optics: { apertureMm: 100, focalLengthMm: 500, transmission: 0.9 },
  plan: { overheadSeconds: 5, interruptionsPerHour: 1, refocusSeconds: 0 },
  price: 1000,
})

const setup = (name: string, over: Partial<Setup> = {}): Setup => ({
  ...bareSetup(name),
  filter: { band: 'luminance' },
  ...over,
})

const ask = (setups: Setup[], over: Partial<Request> = {}) =>
  comparison.handle({
    setups,
    targets: [{ name: 'galaxy', target: { surfaceMagPerArcsec2: 22.5 } }],
    skies: [{ name: 'garden', sky: { magPerArcsec2: 20 }, hoursPerNight: 5 }],
    goal: { snr: 10 },
    ...over,
  })

const hoursOf = (answer: ReturnType<typeof ask>, index: number) => answer.setups[index]?.totalHours ?? NaN
const rowOf = (answer: ReturnType<typeof ask>, index: number) => {
  const row = answer.rows[index]
  if (row === undefined) throw new Error(`no row ${index}`)
  return row
}

/** The errors of the problem that a request meets. */
function errorsOf(run: () => unknown): { pointer: string; message: string }[] {
  try {
    run()
  } catch (error) {
    if (error instanceof ProblemError) return [...error.errors]
    throw error
  }
  return []
}

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

const GARDEN = { magPerArcsec2: 19 }
const MEADOW = { magPerArcsec2: 21.5 }

void t.test(
  'CCD subs take five minutes and up, about half an hour in narrow bands (common practice, no source)',
  (t) => {
    const lengths = (filter: Setup['filter'], sky: typeof GARDEN, target: Request['targets'][number]['target']) => {
      const optics = { like: 'newtonian' as const }
      const answer = ask(
        [
          { name: 'ccd', camera: { like: 'old-cooled-ccd' }, optics, filter, plan: { overheadSeconds: 25 } },
          { name: 'cmos', camera: { like: 'cooled-mono-cmos' }, optics, filter, plan: { overheadSeconds: 3 } },
        ],
        { skies: [{ name: 'site', sky }], targets: [{ name: 'it', target }] },
      )
      return answer.rows.map(({ channels }) => channels[0]?.subSeconds ?? NaN)
    }
    const [broadCcd = NaN, broadCmos = NaN] = lengths({ band: 'luminance' }, GARDEN, { surfaceMagPerArcsec2: 22.5 })
    t.ok(broadCcd >= 300 && broadCcd <= 900, `broadband in the garden: ${broadCcd} s against ${broadCmos} s`)
    const line = { line: 'h-alpha', rayleighs: 30 } as const
    const [narrowCcd = NaN, narrowCmos = NaN] = lengths({ band: 'h-alpha', widthNm: 7 }, MEADOW, line)
    t.ok(
      narrowCcd >= 1200 && narrowCcd <= 2700,
      `narrow band: about half an hour: ${narrowCcd} s against ${narrowCmos} s`,
    )
    t.ok(narrowCcd / narrowCmos >= 2, `${narrowCcd / narrowCmos} times as long once losses bound both`)
    t.end()
  },
)

void t.test(
  'with 5 times the read noise and larger pixels CCD subs are 5 to 10 times longer (common practice, no source)',
  (t) => {
    const plan = { overheadSeconds: 0, interruptionsPerHour: 0 }
    const answer = ask(
      [
        setup('ccd', { camera: camera({ pixelSizeUm: 6.8, readNoiseElectrons: 8 }), plan }),
        setup('cmos', { camera: camera({ pixelSizeUm: 3.76, readNoiseElectrons: 1.6 }), plan }),
      ],
      { skies: [{ name: 'meadow', sky: MEADOW }] },
    )
    const [ccd = NaN, cmos = NaN] = answer.rows.map(({ channels }) => channels[0]?.subSeconds)
    t.ok(ccd / cmos >= 5 && ccd / cmos <= 10, `where read noise alone asks for length: ${ccd} s against ${cmos} s`)
    t.end()
  },
)

void t.test('a lost sub costs its own length: 2 minutes or half an hour (common practice, no source)', (t) => {
  const lossOf = (subSeconds: number) => {
    const plan = { subSeconds, overheadSeconds: 0, refocusSeconds: 0 }
    const answer = ask(
      [
        setup('calm', { plan: { ...plan, interruptionsPerHour: 0 } }),
        setup('spoiled', { plan: { ...plan, interruptionsPerHour: 0.1 } }),
      ],
      { goal: { snr: 200 } },
    )
    const lostHours = hoursOf(answer, 1) - hoursOf(answer, 0)
    return (lostHours * 3600) / (hoursOf(answer, 0) * 0.1)
  }
  near(t, lossOf(120), 120 * (Math.expm1(120 / 36000) / (120 / 36000)), 1e-9, 'seconds lost for each interruption')
  near(t, lossOf(1800), 1800 * (Math.expm1(0.05) / 0.05), 1e-9, 'with those that spoil a sub twice')
  t.end()
})

void t.test(
  'cooling from +20 to −15 °C cuts dark current by 2^(35/6) where it doubles every 6 (common practice, no source)',
  (t) => {
    const at = (temperatureCelsius: number) =>
      setup(`at ${temperatureCelsius}`, {
        camera: camera({
          darkCurrent: { electronsPerPixelSecond: 0.4, atCelsius: 20, doublingCelsius: 6 },
          temperatureCelsius,
        }),
        filter: { band: 'h-alpha', widthNm: 7 },
        plan: { subSeconds: 300 },
      })
    const answer = ask([at(20), at(-15)], { skies: [{ name: 'meadow', sky: MEADOW }], goal: { snr: 1 } })
    const [warm, cold] = [rowOf(answer, 0), rowOf(answer, 1)].map(({ channels }) => channels[0])
    const ratio = (warm?.darkElectronsPerPixelSecond ?? NaN) / (cold?.darkElectronsPerPixelSecond ?? NaN)
    near(t, ratio, 2 ** (35 / 6), 1e-12, 'dark current')
    t.equal(warm?.dominantTerm, 'dark')
    const toTheRest = (share = NaN) => share / (1 - share)
    const cut = toTheRest(warm?.noiseShares.dark) / toTheRest(cold?.noiseShares.dark)
    near(t, cut, 2 ** (35 / 6), 1e-9, 'and its noise against all other')
    t.ok(hoursOf(answer, 1) < 0.5 * hoursOf(answer, 0), 'and with it the time')
    t.end()
  },
)

void t.test('an unmodified consumer camera loses three quarters of H-alpha (common practice, no source)', (t) => {
  const make = (like: 'unmodified-consumer' | 'modified-consumer') => ({
    name: like,
    camera: { like },
    optics: { like: 'camera-lens' as const },
    filter: { band: 'h-alpha' as const, widthNm: 3 },
  })
  const answer = ask([make('unmodified-consumer'), make('modified-consumer')], {
    targets: [{ name: 'nebula', target: { line: 'h-alpha', rayleighs: 300 } }],
    goal: { snr: 2 },
  })
  const [stock, modified] = [rowOf(answer, 0), rowOf(answer, 1)].map(({ channels }) => channels[0])
  const kept = (stock?.targetElectronsPerPixelSecond ?? NaN) / (modified?.targetElectronsPerPixelSecond ?? NaN)
  t.ok(Math.abs(kept - 0.25) < 0.005, `${kept} of the light is left`)
  t.ok(hoursOf(answer, 0) > 4 * hoursOf(answer, 1), 'and more than four times the time')
  t.end()
})

void t.test('a mosaic takes its colours at once, a mono sensor one after the other, split by need', (t) => {
  const filters = (['red', 'green', 'blue'] as const).map((band) => ({ filter: { band } }))
  const bare = bareSetup('mono')
  const answer = ask([
    { ...bare, channels: filters, plan: { ...bare.plan, filterChangeSeconds: 0 } },
    setup('mosaic', { camera: camera({ color: 'bayer' }) }),
  ])
  const [mono, mosaic] = [rowOf(answer, 0), rowOf(answer, 1)]
  t.same(
    mosaic.channels.map(({ plane, samplingFraction }) => [plane, samplingFraction]),
    [
      ['red', 0.25],
      ['green', 0.5],
      ['blue', 0.25],
    ],
  )
  t.same(
    mosaic.channels.map(({ timeShare }) => timeShare),
    [1, 1, 1],
    'the planes share all of the time',
  )
  near(
    t,
    mono.channels.reduce((sum, { timeShare }) => sum + timeShare, 0),
    1,
    1e-12,
    'the filters divide it',
  )
  const ratios = mono.channels.map(({ snrInNight }) => snrInNight)
  for (const ratio of ratios) near(t, ratio, mono.snrInNight ?? NaN, 1e-9, 'every filter stands at one level')
  const least = Math.min(...mosaic.channels.map(({ snrInNight }) => snrInNight))
  near(t, least, mosaic.snrInNight ?? NaN, 1e-9, 'the slowest plane decides')
  near(t, mono.luminanceSnrPerArcsec2InNight ?? NaN, Math.hypot(...ratios), 1e-12, 'luminance adds up in squares')
  t.end()
})

void t.test('each line of a target is taken where it is quickest, a dual band taking both at once', (t) => {
  const lines = [
    { line: 'h-alpha' as const, rayleighs: 90 },
    { line: 'o-iii' as const, rayleighs: 60 },
  ]
  const bare = bareSetup('two filters')
  const answer = ask(
    [
      setup('dual', { camera: camera({ color: 'bayer' }), filter: { band: 'dual-narrowband' } }),
      { ...bare, channels: [{ filter: { band: 'o-iii' } }, { filter: { band: 'h-alpha' }, goalShare: 0.5 }] },
      { ...bare, name: 'one filter', channels: [{ filter: { band: 'o-iii' } }] },
    ],
    { targets: [{ name: 'veil', lines }], goal: { snr: 2 } },
  )
  t.same(
    rowOf(answer, 0).channels.map(({ plane, samplingFraction }) => [plane, samplingFraction]),
    [
      ['red', 0.25],
      ['green', 0.5],
    ],
  )
  t.same(
    rowOf(answer, 1).channels.map(({ name }) => name),
    ['o-iii', 'h-alpha'],
  )
  const [oxygen, hydrogen] = rowOf(answer, 1).channels
  near(t, (oxygen?.snrInNight ?? NaN) / 2, hydrogen?.snrInNight ?? NaN, 1e-9, 'half the goal is enough there')
  t.equal(rowOf(answer, 2).reachable, false)
  t.match(rowOf(answer, 2).reason, /No channel/)
  t.equal(answer.ranking.at(-1), 'one filter')
  t.match(answer.pairs[2]?.verdict, /^Only “two filters” reaches the goal/)
  t.end()
})

void t.test('a sensor without a cooler follows the night, a cooled one as far as its cooler reaches', (t) => {
  const darkCurrent = { electronsPerPixelSecond: 0.1, atCelsius: 20, doublingCelsius: 5 }
  const night = { ambientCelsius: [20, 10, 0] }
  const answer = ask(
    [
      setup('free', { camera: camera({ darkCurrent }), sensorAboveAirCelsius: 5 }),
      setup('cooled', { camera: camera({ darkCurrent, temperatureCelsius: -10, cooler: { reachCelsius: 25 } }) }),
      setup('weak', { camera: camera({ darkCurrent, temperatureCelsius: -10, cooler: { reachCelsius: 15 } }) }),
    ],
    { night },
  )
  const [free, cooled, weak] = answer.setups.map(({ sensor }) => sensor)
  t.same(free?.celsius, [25, 15, 5])
  near(t, free?.meanDarkElectronsPerPixelSecond ?? NaN, (0.2 + 0.05 + 0.0125) / 3, 1e-12, 'the mean of 2, 1/2 and 1/8')
  near(t, free?.largestMismatchElectronsPerPixelSecond ?? NaN, 0.2 - 0.0875, 1e-12, 'the warmest hour')
  t.equal(rowOf(answer, 0).channels[0]?.darkElectronsPerPixelSecond, free?.meanDarkElectronsPerPixelSecond)
  t.same(cooled?.celsius, [-5, -10, -10], 'at 20 °C it cannot hold its temperature')
  t.same(weak?.celsius, [5, -5, -10])
  t.ok(answer.explanation.some((sentence) => sentence.includes('darks taken at its mean')))
  t.end()
})

void t.test('hours count focusing, filter changes, losses and travel, night by night', (t) => {
  const plan = {
    subSeconds: 100,
    overheadSeconds: 0,
    interruptionsPerHour: 0,
    refocusSeconds: 600,
    filterChangeSeconds: 60,
  }
  const bare = bareSetup('two')
  const channels = [{ filter: { band: 'red' as const } }, { filter: { band: 'blue' as const } }]
  const skies = [{ name: 'far', sky: GARDEN, hoursPerNight: 2, travelHours: 3 }]
  const answer = ask([{ ...bare, channels, plan }, setup('one', { plan })], { skies, goal: { snr: 4 } })
  const row = rowOf(answer, 0)
  const work = row.channels.reduce((sum, { clockHours }) => sum + (clockHours ?? NaN), 0)
  near(t, row.integrationHours ?? NaN, work, 1e-12, 'no losses')
  const nights = row.nights ?? NaN
  near(t, row.clockHours ?? NaN, work + (60 + (1 + nights) * 600) / 3600, 1e-12, 'one change, one focusing a stretch')
  near(t, row.totalHours ?? NaN, (row.clockHours ?? NaN) + 3 * nights, 1e-12, 'travel each night')
  t.ok((row.clockHours ?? NaN) <= 2 * nights && (row.clockHours ?? NaN) > 2 * nights - 2 - 600 / 3600, 'no night idle')
  const subs = row.channels.reduce((sum, { subCount }) => sum + (subCount ?? NaN), 0)
  near(t, row.dataGigabytes ?? NaN, (subs * 6000 * 4000 * 2) / 1e9, 1e-12, 'two bytes a pixel')
  t.end()
})

void t.test('a goal that no set-up reaches is answered with the reason', (t) => {
  const plan = { subSeconds: 60, calibration: { darkFrames: 1 } }
  const answer = ask([setup('one', { plan }), setup('other', { plan: { ...plan, interruptionsPerHour: 3 } })], {
    goal: { snr: 1e6 },
  })
  for (const row of answer.rows) {
    t.equal(row.reachable, false)
    t.match(row.reason, /calibration frames/)
    t.equal(row.totalHours, null)
  }
  t.match(answer.explanation[0], /^No set-up reaches the goal/)
  t.match(answer.pairs[0]?.verdict, /^Neither/)
  const never = ask([setup('one'), setup('other')], {
    goal: { snr: 1e6 },
    targets: [{ name: 'ghost', target: { surfaceMagPerArcsec2: 30 } }],
  })
  t.match(rowOf(never, 0).reason, /subs would be needed/)
  const short = ask([setup('one', { plan: { refocusSeconds: 7200 } }), setup('other')], {
    skies: [{ name: 'gap', sky: GARDEN, hoursPerNight: 1 }],
  })
  t.match(rowOf(short, 0).reason, /before the focusing/)
  t.equal(rowOf(short, 0).snrInNight, 0)
  const infrared = { centerNm: 1090, widthNm: 5, transmission: 0.9 }
  const blind = ask([setup('blind', { camera: { like: 'cooled-mono-cmos' }, filter: infrared }), setup('other')], {
    targets: [{ name: 'nebula', target: { line: 'h-alpha', rayleighs: 10 } }],
  })
  t.match(rowOf(blind, 0).reason, /No channel/, 'a filter on no band')
  const choked = ask([setup('lost', { plan: { subSeconds: 7200, interruptionsPerHour: 100 } }), setup('other')])
  t.match(rowOf(choked, 0).reason, /interruptions/)
  t.end()
})

void t.test('what stands in the way is named by pointer, in every set-up at once', (t) => {
  const errors = errorsOf(() =>
    ask([
      setup('twice', { channels: [{ filter: { band: 'red' } }] }),
      setup('closed', { optics: { apertureMm: 100, focalLengthMm: 500, obstructionMm: 100 } }),
      setup('wide', { filter: { band: 'red', widthNm: 7 } }),
      { name: 'blank', camera: { readNoiseElectrons: 2 } },
    ]),
  ).map(({ pointer }) => pointer)
  for (const pointer of [
    '/setups/0/filter',
    '/setups/1/optics/obstructionMm',
    '/setups/2/filter/widthNm',
    '/setups/3/optics',
    '/setups/3/camera/quantumEfficiency',
  ]) {
    t.ok(errors.includes(pointer), pointer)
  }
  const pointers = (run: () => unknown) => errorsOf(run).map(({ pointer }) => pointer)
  t.same(
    pointers(() => ask([setup('one'), setup('one')])),
    ['/setups/1/name'],
  )
  t.same(
    pointers(() => ask([setup('one'), setup('two')], { targets: [{ name: 'star', target: { starMag: 10 } }] })),
    ['/targets/0/target'],
  )
  t.same(
    pointers(() => ask([setup('one'), setup('two')], { targets: [{ name: 'none' }] })),
    ['/targets/0/target'],
  )
  t.same(
    pointers(() => ask([setup('one'), setup('two')], { skies: [{ name: 'none', sky: {} }] })),
    ['/skies/0/sky'],
  )
  const bare = bareSetup('one')
  const second = [{ filter: { band: 'red' as const } }, { filter: { band: 'blue' as const, widthNm: 3 } }]
  t.same(
    pointers(() => ask([{ ...bare, channels: second }, setup('two')])),
    ['/setups/0/channels/1/filter/widthNm'],
  )
  t.end()
})

void t.test('a goal per pixel needs no scale, and defaults are told where they stand', (t) => {
  const bare = (name: string, readNoiseElectrons: number): Setup => ({ name, camera: { readNoiseElectrons } })
  const answer = comparison.handle({
    setups: [bare('quiet', 2), bare('loud', 8)],
    targets: [{ name: 'it', target: { electronsPerPixelSecond: 0.1 } }],
    skies: [{ name: 'here', sky: { electronsPerPixelSecond: 0.5 } }],
    goal: { snr: 5, per: 'pixel' },
  })
  t.same(answer.ranking, ['quiet', 'loud'])
  t.equal(rowOf(answer, 0).snrPerArcsec2InNight, null)
  t.equal(rowOf(answer, 0).luminanceSnrPerArcsec2InNight, null)
  t.equal(rowOf(answer, 0).dataGigabytes, null)
  t.equal(answer.setups[0]?.moneyRank, null, 'no prices, no rank on money')
  const said = answer.assumptions.map(({ pointer }) => pointer)
  for (const pointer of [
    '/setups/0/plan/overheadSeconds',
    '/setups/1/plan/overheadSeconds',
    '/setups/1/plan/refocusSeconds',
    '/skies/0/hoursPerNight',
    '/skies/0/travelHours',
  ]) {
    t.equal(said.filter((it) => it === pointer).length, 1, pointer)
  }
  t.end()
})

void t.test('uncertain inputs reach the hours of the set-up they belong to, and of no other', (t) => {
  const uncertain = camera({ readNoiseElectrons: { value: 6, standardUncertainty: 0.5 } })
  const answer = ask([setup('sure'), setup('unsure', { camera: uncertain, filter: { band: 'h-alpha' } })], {
    goal: { snr: 2 },
  })
  const [sure, unsure] = [0, 1].map((index) =>
    answer.uncertainty?.find(({ quantity }) => quantity === `/setups/${index}/totalHours`),
  )
  t.ok((unsure?.standardUncertainty ?? 0) > 0)
  t.same(unsure?.contributions, [{ input: '/setups/1/camera/readNoiseElectrons', share: 1 }])
  t.equal(sure?.standardUncertainty ?? 0, 0)
  t.end()
})

void t.test(
  'subs are those of the same advice, also from a ladder, a stack of medians, and several read modes',
  (t) => {
    const readModes = [
      { label: 'deep', readNoiseElectrons: 6, electronsPerAdu: 1, fullWellElectrons: 60000 },
      { label: 'quiet', readNoiseElectrons: 1.5, electronsPerAdu: 0.25, fullWellElectrons: 15000 },
    ]
    const plan = { overheadSeconds: 5, interruptionsPerHour: 1, refocusSeconds: 0 }
    const answer = ask([
      setup('advised'),
      setup('ladder', { plan: { ...plan, subLadderSeconds: [40, 200] } }),
      setup('median', { plan: { ...plan, combine: 'median' } }),
      setup('modes', { camera: camera({ readModes }), plan: { ...plan, subSeconds: 60 } }),
      setup('bound', { plan: { ...plan, longestTrackedSeconds: 45 } }),
      setup('calm', { plan: { ...plan, interruptionsPerHour: 0 } }),
    ])
    const channel = (index: number) => rowOf(answer, index).channels[0]
    const { camera: one, optics } = bareSetup('advised')
    const advice = subExposure.handle({
      camera: one,
      optics,
      filter: { band: 'luminance' },
      plan,
      sky: { magPerArcsec2: 20 },
      target: { surfaceMagPerArcsec2: 22.5 },
    })
    const range = advice.usefulRange
    t.ok(
      (channel(0)?.subSeconds ?? NaN) >= range.fromSeconds && (channel(0)?.subSeconds ?? NaN) <= (range.toSeconds ?? 0),
    )
    t.ok([40, 200].includes(channel(1)?.subSeconds ?? NaN))
    near(
      t,
      ((hoursOf(answer, 2) / hoursOf(answer, 0)) * 2) / Math.PI,
      1,
      0.1,
      'the median of many subs takes about π/2 times as long',
    )
    t.equal(channel(3)?.limitedBy, 'given')
    t.equal(channel(3)?.readMode, 'quiet')
    t.same([channel(4)?.subSeconds, channel(4)?.limitedBy], [40, 'tracking'])
    t.ok(hoursOf(answer, 5) < hoursOf(answer, 0), 'without interruptions it is quicker')
    t.end()
  },
)

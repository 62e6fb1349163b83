// What a comparison counts and says, and what it refuses.

import t from 'tap'
import { ProblemError } from '../../src/contract/problem.ts'
import { comparison } from '../../src/routes/comparison/index.ts'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { near } from '../support/near.ts'
import { camera, bareSetup, setup, ask, hoursOf, rowOf, type Setup, GARDEN } from './comparison-setups.ts'

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
  t.match(rowOf(answer, 2).reason, /reaches no channel/)
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

void t.test('a temperature given without a cooler does not count in a night, which is said', (t) => {
  const frosty = { night: { ambientCelsius: [-12, -15] } }
  const ofTwo = (temperatureCelsius?: number) =>
    ask([setup('one', { camera: camera({ temperatureCelsius }) }), setup('two', {})], frosty).cautions.join(' ')
  t.match(ofTwo(-20), /the `temperatureCelsius` given with it does not count/)
  t.notMatch(ofTwo(), /does not count/)
  t.notMatch(ofTwo(-20), /dew point/, 'it stays warmer than the air')
  t.end()
})

void t.test('the usual temperature of a class is assumed only where the night leaves it be', (t) => {
  const optics = { like: 'newtonian' as const }
  const answer = ask(
    [
      { name: 'free', camera: { like: 'uncooled-mono-cmos' }, optics },
      { name: 'cooled', camera: { like: 'cooled-mono-cmos' }, optics },
    ],
    { night: { ambientCelsius: [12, 8] } },
  )
  const said = answer.assumptions.map(({ pointer }) => pointer)
  t.notOk(said.includes('/setups/0/camera/temperatureCelsius'), 'the air sets it')
  t.ok(said.includes('/setups/1/camera/temperatureCelsius'), 'the cooler holds it')
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
    targets: [{ name: 'ghost', surfaceMagPerArcsec2: 30 }],
  })
  t.match(rowOf(never, 0).reason, /subs would be needed/)
  const short = ask([setup('one', { plan: { refocusSeconds: 7200 } }), setup('other')], {
    skies: [{ name: 'gap', sky: GARDEN, hoursPerNight: 1 }],
  })
  t.match(rowOf(short, 0).reason, /before the focusing/)
  t.equal(rowOf(short, 0).snrInNight, 0)
  const infrared = { centerNm: 1090, widthNm: 5, transmission: 0.9 }
  const blind = ask([setup('blind', { camera: { like: 'cooled-mono-cmos' }, filter: infrared }), setup('other')], {
    targets: [{ name: 'nebula', line: 'h-alpha', rayleighs: 10 }],
  })
  t.match(rowOf(blind, 0).reason, /reaches no channel/, 'a filter on no band')
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
    pointers(() => ask([setup('one'), setup('two')], { targets: [{ name: 'star', starMag: 10 }] })),
    ['/targets/0'],
  )
  t.same(
    pointers(() => ask([setup('one'), setup('two')], { targets: [{ name: 'none' }] })),
    ['/targets/0'],
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
    targets: [{ name: 'it', electronsPerPixelSecond: 0.1 }],
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

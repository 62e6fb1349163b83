import t from 'tap'
import { presentConditions, sessionCourse, type CourseQuestion } from '../../../src/engine/index.ts'
import { columnsOf, subs, type Sub } from './subs.ts'

function course(list: Sub[], over: Partial<CourseQuestion> = {}) {
  return sessionCourse({
    subs: columnsOf(list),
    darkElectronsPerSecond: (celsius) => 0.01 * 2 ** (((Number.isNaN(celsius) ? -10 : celsius) + 10) / 6),
    readVariance: 4,
    roundingVariance: 0.02,
    setPointCelsius: -10,
    fwhmIsRelative: true,
    ...over,
  })
}

/** Names of the last sub. */
function names(list: Sub[], over: Partial<CourseQuestion> = {}): string[] {
  return presentConditions(course(list, over)).map(({ name }) => name)
}

const from = (start: number, change: Partial<Sub>) => (index: number) => (index >= start ? change : {})

void t.test('quiet subs have no name', (t) => {
  t.same(names(subs(40)), [])
  t.same(names(subs(1)), [])
  t.same(names([]), [])
  t.end()
})

void t.test('cloud under a bright sky and under a dark one', (t) => {
  t.same(names(subs(30, from(26, { starFlux: 0.5, electronsPerSecond: 1.5 }))), ['cloud'])
  t.same(names(subs(30, from(26, { starFlux: 0.5, electronsPerSecond: 0.7 }))), ['cloud'])
  t.same(names(subs(30, from(29, { starFlux: 0.6, electronsPerSecond: 1.5 }))), ['cloud'], 'one sub is enough')
  t.same(names(subs(30, (i) => (i > 20 && i < 28 ? { starFlux: 0.5, electronsPerSecond: 1.5 } : {}))), [], 'gone by')
  t.same(names(subs(10, () => ({ starFlux: 0.4 }))), ['cloud'], 'even if the session never saw the stars undimmed')
  t.same(names(subs(1, () => ({ starFlux: 0.4 }))), ['cloud'])
  t.same(names(subs(10, () => ({ starFlux: 0 }))), ['cloud'])
  t.end()
})

void t.test('thin cloud that lasts', (t) => {
  t.same(names(subs(60, from(50, { starFlux: 0.89 }))), ['cloud'])
  t.same(names(subs(60, from(59, { starFlux: 0.907 }))), [], 'a single sub tells nothing yet')
  t.end()
})

void t.test('haze that stays does not become the rule, nor does another night', (t) => {
  t.same(names(subs(140, from(20, { starFlux: 0.6 }))), ['cloud'], 'four hours')
  t.same(names(subs(140, from(20, { starFlux: 0.6, fwhm: 1.4 }))), ['frost'])
  t.same(names(subs(140, (i) => ({ starFlux: 1 - 0.15 * Math.min(1, i / 100) }))), [], 'a target that sinks')
  const later = (starFlux: number, hours: number) => (i: number) =>
    i < 40 ? {} : { startSeconds: i * 126 + hours * 3600, starFlux }
  for (const hours of [10, 24, 72, 8760]) {
    t.same(names(subs(43, later(0.3, hours))), ['cloud'], `cloud ${hours} h later`)
    t.same(names(subs(43, later(1, hours))), [], `clear ${hours} h later`)
  }
  t.end()
})

void t.test('stars that widen slowly are those of a sinking target or of the seeing', (t) => {
  t.same(names(subs(140, (i) => ({ fwhm: 1 + (0.4 * i) / 140 }))), [])
  t.same(names(subs(140, from(130, { fwhm: 1.2 }))), [], 'the seeing')
  t.same(names(subs(140, from(120, { fwhm: 1.7 }))), ['focus'], 'far too wide, an hour later')
  t.end()
})

void t.test('the Moon lifts the background while the stars stay', (t) => {
  const moonlit = (i: number) => ({ electronsPerSecond: 1 + 0.001 * (i % 2) + 0.05 * Math.max(0, i - 20) })
  t.same(names(subs(45, moonlit)), ['moonlight'])
  t.same(names(subs(45, from(38, { electronsPerSecond: 1.7 }))), ['moonlight'], 'or a lamp that stays on')
  const gap = (i: number) => ({ ...moonlit(i), ...(i === 43 && { electronsPerSecond: NaN }) })
  t.same(names(subs(45, gap)), [], 'the sub before was not measured')
  t.same(names(subs(45, from(44, { electronsPerSecond: 1.7 }))), ['passing-light'], 'of one sub nobody can tell yet')
  const afterCloud = (i: number) => ({
    ...(i > 30 && i < 42 && { starFlux: 0.5 }),
    ...(i > 30 && { electronsPerSecond: 1.7 }),
  })
  t.same(names(subs(44, afterCloud)), [], 'three clear subs tell, after cloud')
  t.same(names(subs(46, afterCloud)), ['moonlight'])
  t.same(names(subs(46, (i) => ({ ...moonlit(i), ...(i > 42 && { starFlux: 0.9 }) }))), ['cloud'])
  t.same(names(subs(45, (i) => ({ ...moonlit(i), starFlux: NaN }))), ['brighter-background'])
  t.same(names(subs(45, (i) => ({ electronsPerSecond: 1 + 0.004 * i }))), [], 'as slow as a sinking target')
  t.end()
})

void t.test('a fall without star flux', (t) => {
  const fall = { electronsPerSecond: 0.6, starFlux: NaN }
  t.same(names(subs(40, (i) => ({ starFlux: NaN, ...(i >= 35 && fall) }))), ['darker-background'])
  t.same(names(subs(40, from(35, { electronsPerSecond: 0.6 }))), [], 'with the stars as bright the sky is just darker')
  t.end()
})

void t.test('a light that passes', (t) => {
  const flash = (at: number) => (i: number) => (i === at ? { electronsPerSecond: 1.4 } : {})
  t.same(names(subs(20, flash(19))), ['passing-light'])
  t.same(names(subs(5, flash(4))), ['passing-light'])
  t.same(names(subs(3, flash(2))), ['passing-light'])
  t.same(names(subs(2, flash(1))), [], 'of two subs nobody can tell which is the odd one')
  t.same(names(subs(21, flash(19))), [], 'over')
  t.same(names(subs(3, flash(1))), ['passing-light'], 'told one sub later')
  const weak = (at: number) => (i: number) => (i === at ? { electronsPerSecond: 1.05 } : {})
  t.same(names(subs(20, weak(19))), [], 'a weak one may yet be the Moon')
  const { sky } = course(subs(21, weak(19)))
  t.same(presentConditions(course(subs(21, weak(19)))), [{ name: 'passing-light', from: 19, to: 19 }])
  t.equal(sky.late[19], 1)
  t.same(presentConditions(course(subs(22, weak(19)))), [], 'and told once')
  const spikes = (list: Sub[]) => [...course(list).sky.spike].flatMap((spike, index) => (spike === 1 ? [index] : []))
  t.same(spikes(subs(30, flash(12))), [12])
  t.same(spikes(subs(30, flash(0))), [0])
  t.same(spikes(subs(30, flash(28))), [28])
  t.same(spikes(subs(30, (i) => (i === 12 || i === 14 ? { electronsPerSecond: 1.4 } : {}))), [12, 14])
  t.same(spikes(subs(30, from(28, { electronsPerSecond: 1.4 }))), [], 'two running: the next will tell')
  t.same(spikes(subs(30, from(26, { electronsPerSecond: 1.4 }))), [], 'a step is none')
  const steep = (i: number) => ({ electronsPerSecond: 1 + (i > 26 ? ([0.1, 0.3, 0.6][i - 27] ?? 0) : 0) })
  t.same(spikes(subs(30, steep)), [], 'a rise that goes on is none')
  const rising = (lit: number, more: number) => (i: number) => ({
    electronsPerSecond: 1 + 0.15 * Math.max(0, i - 10) + (i === lit ? more : 0),
  })
  for (const lit of [12, 15]) t.same(spikes(subs(30, rising(lit, 0.15))), [lit], 'half a step, on a steady rise')
  t.same(spikes(subs(30, rising(10, 0.05))), [], 'where the rise begins')
  const switchedOn = (i: number) => (i < 20 ? {} : { electronsPerSecond: i === 20 ? 2.04 : 2 })
  t.same(spikes(subs(30, switchedOn)), [], 'nor a lamp that is switched on and grows a little weaker')
  const dim = subs(30, (i) => (i === 29 ? { electronsPerSecond: 1.12, starFlux: 0.93 } : {}))
  t.same(names(dim), [], 'nor is the edge of a cloud')
  const covered = (i: number) => (i > 20 ? { starFlux: 0.5, electronsPerSecond: i === 27 ? 2.4 : 1.4 } : {})
  t.same(spikes(subs(30, covered)), [27], 'under cloud it takes more')
  t.same(names(subs(28, covered)), ['cloud', 'passing-light'])
  t.end()
})

void t.test('three lights among the first ten subs, and what there is to tell the noise by', (t) => {
  const lit = (lift: number) => (i: number) => ({
    startSeconds: i * 606,
    subSeconds: 600,
    electronsPerSecond: 1 + 0.004 * Math.sin(9 * i) + (i === 2 || i === 6 || i === 9 ? lift : 0),
  })
  for (const lift of [0.1, 0.4]) {
    for (let count = 3; count <= 14; count++) {
      const told = count === 4 || count === 8 || count === 11
      const last = count === 3 || count === 7 || count === 10
      if (!last) t.same(names(subs(count, lit(lift))), told ? ['passing-light'] : [], `${count} subs, ${lift} more`)
    }
  }
  const exact = { readVariance: 0, roundingVariance: 0, darkElectronsPerSecond: () => 0 }
  for (const count of [7, 20]) {
    t.same(
      names(
        subs(count, () => ({ electronsPerSecond: 0 })),
        exact,
      ),
      [],
      `${count} subs without any noise`,
    )
  }
  t.end()
})

void t.test('dusk that fades from the first sub on is no light that passes', (t) => {
  const dusk = (i: number) => 1 + 8 * Math.exp(-(i * 126) / 900)
  const fading = (i: number) => ({ electronsPerSecond: dusk(i) })
  for (let count = 1; count <= 60; count++) t.same(names(subs(count, fading)), [], `${count} subs`)
  const long = (i: number) => ({
    startSeconds: i * 306,
    subSeconds: 300,
    electronsPerSecond: 1 + 30 * Math.exp(-(i * 306) / 400),
  })
  for (let count = 1; count <= 30; count++) t.same(names(subs(count, long)), [], `${count} long subs`)
  const lit = (at: number) => (i: number) => ({ electronsPerSecond: dusk(i) * (i === at ? 2 : 1) })
  t.same(names(subs(6, lit(5))), ['passing-light'], 'a light that does pass')
  const first = subs(3, (i) => ({ electronsPerSecond: i === 0 ? 1.4 : 1 - 0.001 * i }))
  t.equal(course(first).sky.spike[0], 1, 'one over the first sub, and a level that sinks a little')
  t.end()
})

void t.test('frost, guiding, focus', (t) => {
  const frosty = { starFlux: 0.6, fwhm: 1.5 }
  t.same(names(subs(40, from(35, frosty))), ['frost'])
  t.same(names(subs(10, () => frosty)), ['frost'], 'against the reference')
  t.same(
    names(
      subs(10, () => ({ starFlux: 0.6, fwhm: 3 })),
      { fwhmIsRelative: false },
    ),
    ['cloud'],
    'arcsec have none',
  )
  t.same(names(subs(40, from(35, { ...frosty, sensorCelsius: -4 }))), ['cloud', 'cooling-failure'])
  t.same(names(subs(40, from(35, { ...frosty, guidingErrorArcsec: 2 }))), ['cloud'], 'guiding widened the stars')
  t.same(names(subs(40, from(35, { fwhm: 1.4, guidingErrorArcsec: 1.5 }))), ['guiding'])
  t.same(names(subs(40, from(35, { fwhm: 1.4 }))), ['focus'])
  t.same(names(subs(40, (i) => ({ guidingErrorArcsec: NaN, ...(i >= 35 && { fwhm: 1.4 }) }))), ['wide-stars'])
  t.same(names(subs(40, (i) => ({ fwhm: NaN, ...(i >= 35 && { guidingErrorArcsec: 1.5 }) }))), ['guiding'])
  t.same(names(subs(40, from(35, { guidingErrorArcsec: 1.5 }))), [], 'with the stars as narrow nobody minds')
  t.same(names(subs(9, () => ({ guidingErrorArcsec: 0 }))), [], 'no error at all')
  t.end()
})

void t.test('seeing that swings by itself does not turn cloud into frost', (t) => {
  const swinging = (i: number) => ({ fwhm: 1.1 + 0.1 * Math.sin(i / 5), ...(i >= 66 && { starFlux: 0.6 }) })
  t.same(names(subs(71, swinging)), ['cloud'])
  t.same(names(subs(71, (i) => ({ ...swinging(i), ...(i >= 66 && { fwhm: 1.5 }) }))), ['frost'], 'wider than ever')
  t.same(
    names(subs(71, (i) => ({ ...swinging(i), ...(i < 66 ? { fwhm: NaN } : { fwhm: 1.5 }) }))),
    ['frost'],
    'no swing known',
  )
  t.end()
})

void t.test('guiding that may be worse leaves open what widens the stars', (t) => {
  const noisy = (i: number) => 0.7 * (1 + 0.15 * ([0, 1, -1, 0.5, -0.5][i % 5] ?? 0))
  const wide = (times: number) => (i: number) => ({
    guidingErrorArcsec: noisy(i) * (i >= 35 ? times : 1),
    ...(i >= 35 && { fwhm: 1.5 }),
  })
  t.same(names(subs(40, wide(1.4))), ['wide-stars'])
  t.same(names(subs(40, wide(0.9))), ['focus'])
  t.same(names(subs(40, wide(3))), ['guiding'])
  t.end()
})

void t.test('cloud over a few long subs, whose scatter it swells', (t) => {
  const flux = [0.95, 1, 0.95, 1, 0.32, 0.17, 0.25]
  for (const count of [5, 6, 7]) t.same(names(subs(count, (i) => ({ starFlux: flux[i] ?? 1 }))), ['cloud'], `${count}`)
  t.end()
})

void t.test('temperature', (t) => {
  t.same(names(subs(40, from(38, { sensorCelsius: -8 }))), ['cooling-failure'])
  t.same(names(subs(40, from(39, { sensorCelsius: -9 }))), [], 'one sub a little off')
  t.same(names(subs(40, from(39, { sensorCelsius: -5 }))), ['cooling-failure'], 'one sub far off')
  t.same(names(subs(40, from(38, { sensorCelsius: -12 }))), ['colder-than-set-point'])
  t.same(names(subs(1, () => ({ sensorCelsius: -9 }))), ['cooling-failure'], 'all there is')
  t.same(names(subs(40, from(38, { sensorCelsius: -8 })), { setPointCelsius: null }), ['cooling-failure'])
  t.same(names(subs(2, from(1, { sensorCelsius: 5 })), { setPointCelsius: null }), [], 'no level to compare with')
  t.same(names(subs(40, () => ({ sensorCelsius: NaN }))), [])
  t.end()
})

void t.test('dark current of a warm sensor is not the Moon', (t) => {
  const warm = (i: number) => {
    const sensorCelsius = i < 20 ? -10 : Math.min(-2, -10 + (i - 20) / 2)
    const dark = 0.5 * 2 ** ((sensorCelsius + 10) / 6)
    return { sensorCelsius, electronsPerSecond: 1 + dark + 0.001 * (i % 2) }
  }
  const law = (celsius: number) => 0.5 * 2 ** (((Number.isNaN(celsius) ? -10 : celsius) + 10) / 6)
  t.same(names(subs(45, warm), { darkElectronsPerSecond: law }), ['cooling-failure'])
  t.end()
})

void t.test('clipped, and subs with nothing measured', (t) => {
  t.same(names(subs(9, from(8, { isClipped: true }))), ['clipped-background'])
  const blank = { electronsPerSecond: NaN, starFlux: NaN, fwhm: NaN, guidingErrorArcsec: NaN, sensorCelsius: NaN }
  t.same(names(subs(9, () => blank)), [])
  const { sky, flux } = course(subs(9, (i) => (i === 4 ? blank : {})))
  t.notOk(sky.isMeasured(4))
  t.ok(Number.isNaN(flux.now[4]))
  t.end()
})

void t.test('a background that drowns in noise is measured against its noise', (t) => {
  const faint = subs(9, (i) => ({ electronsPerSecond: 0.01 + (i % 2 === 0 ? 1e-5 : -1e-5) }))
  const { sky } = course(faint)
  t.ok(sky.ratio.every((ratio) => Math.abs(ratio) < 0.01))
  t.same(names(faint), [])
  const nothing = subs(9, () => ({ electronsPerSecond: 0 }))
  t.same(names(nothing, { readVariance: 0, roundingVariance: 0, darkElectronsPerSecond: () => 0 }), [])
  t.end()
})

void t.test('less than the dark current is no Moon', (t) => {
  const faint = (i: number) => ({ electronsPerSecond: 0.01 + 0.0001 * (i % 2) })
  const law = { darkElectronsPerSecond: () => 0.05, readVariance: 0.1, roundingVariance: 0 }
  t.same(names(subs(40, faint), law), [])
  t.same(
    names(
      subs(40, (i) => ({ ...faint(i), starFlux: NaN })),
      law,
    ),
    [],
    'nor darker',
  )
  t.same(
    names(
      subs(40, (i) => (i < 30 ? faint(i) : { electronsPerSecond: 0.06 })),
      law,
    ),
    ['moonlight'],
  )
  t.end()
})

void t.test('dark current of a warm sensor leaves the sky in doubt', (t) => {
  const law = (celsius: number) => 0.5 * 2 ** (((Number.isNaN(celsius) ? -10 : celsius) + 10) / 6)
  const warm = (i: number) => ({
    sensorCelsius: i < 20 ? -10 : -2,
    electronsPerSecond: i < 20 ? 1.5 : 2.26 + 0.001 * (i % 2),
  })
  t.same(names(subs(45, warm), { darkElectronsPerSecond: law }), ['cooling-failure'], 'it may be the law that is off')
  const brighter = (i: number) => ({ ...warm(i), electronsPerSecond: (i < 20 ? 1.5 : 3.5) + 0.001 * (i % 2) })
  t.same(names(subs(45, brighter), { darkElectronsPerSecond: law }), ['moonlight', 'cooling-failure'])
  t.end()
})

void t.test('filters that alternate, each with a sky of its own', (t) => {
  const twoFilters = (i: number) => ({ filter: i % 2, electronsPerSecond: (i % 2 === 0 ? 1 : 0.2) + 0.0002 * (i % 3) })
  const list = subs(40, twoFilters)
  t.same(names(list), [])
  const last = list.at(-1)
  if (last !== undefined) last.electronsPerSecond = 0.3
  t.same(names(list), ['passing-light'])
  t.same(names(subs(2, (i) => ({ filter: i, starFlux: 0.4 }))), ['cloud'], 'one sub each, and dimmed')
  t.end()
})

void t.test('a run begins with its first sub and outlasts a gap of two', (t) => {
  const cloudy = new Set([10, 11, 14, 15, 16])
  const list = subs(17, (i) => (cloudy.has(i) ? { starFlux: 0.5 } : {}))
  t.same(presentConditions(course(list)), [{ name: 'cloud', from: 10, to: 16 }])
  t.end()
})

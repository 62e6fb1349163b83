// The advice as it is answered: against closed forms written anew here, a search over lengths, and what the bounds collide
// with. Electrons thrown at it stand in `tests/simulation`.

import t from 'tap'
import type { z } from 'zod'
import type { SubExposureAnswerSchema, SubExposureRequestSchema } from '../../src/contract/sub-exposure.ts'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { asker } from '../support/ask.ts'
import { near, within } from '../support/near.ts'

type Request = z.input<typeof SubExposureRequestSchema>
type Answer = z.infer<typeof SubExposureAnswerSchema>

const send = await asker([subExposure])
const ask = (request: Request) => send<Answer>('/v1/sub-exposure', request)

const secondsOf = ({ limits }: Answer, wanted: string) => limits.find(({ name }) => name === wanted)?.seconds ?? NaN

/** Electrons per second on a pixel, read noise, dead time, interruptions per hour. */
const GARDEN = { target: 0.2, sky: 1.5, dark: 0.1, read: 3, overhead: 8, perHour: 2 }
/** A narrow band under a dark sky with an old CCD, as the engine's own design names it. */
const NARROW = { target: 0.05, sky: 0.02, dark: 0.01, read: 9, overhead: 25, perHour: 1 }

function requestOf(it: typeof GARDEN, plan: Request['plan'] = {}): Request {
  return {
    camera: {
      readNoiseElectrons: it.read,
      darkCurrent: { electronsPerPixelSecond: it.dark, atCelsius: -10 },
      temperatureCelsius: -10,
    },
    sky: { electronsPerPixelSecond: it.sky },
    target: { electronsPerPixelSecond: it.target },
    plan: { overheadSeconds: it.overhead, interruptionsPerHour: it.perHour, ...plan },
  }
}

/** Information per clock hour of subs of a length; a spoiled one is found out afterwards, or aborted and begun anew. */
function informationPerHour(it: typeof GARDEN, cost: 'found-afterwards' | 'aborted-at-once') {
  const tau = it.read ** 2 / (it.target + it.sky + it.dark)
  const rate = it.perHour / 3600
  return (seconds: number) => {
    const clock =
      cost === 'found-afterwards'
        ? (seconds + it.overhead) * Math.exp(rate * seconds)
        : Math.expm1(rate * seconds) / rate + it.overhead
    return seconds ** 2 / (seconds + tau) / clock
  }
}

/** The best of ten thousand lengths from a second to ten hours, evenly spread in their logarithm. */
function searched(value: (seconds: number) => number): { seconds: number; most: number } {
  let best = { seconds: 1, most: -Infinity }
  for (let step = 0; step <= 10_000; step++) {
    const seconds = 36_000 ** (step / 10_000)
    const most = value(seconds)
    if (most > best.most) best = { seconds, most }
  }
  return best
}

for (const [name, it] of [
  ['garden', GARDEN],
  ['narrow band', NARROW],
] as const) {
  for (const interruptionCost of ['found-afterwards', 'aborted-at-once'] as const) {
    void t.test(`${name}, ${interruptionCost}: optimum, useful range and share of it, by search`, async (t) => {
      const { answer } = await ask(requestOf(it, { interruptionCost }))
      const value = informationPerHour(it, interruptionCost)
      const best = searched(value)
      near(t, secondsOf(answer, 'losses'), best.seconds, 2e-3, 'optimum, as fine as the search')
      const { fromSeconds, toSeconds } = answer.usefulRange
      near(t, value(fromSeconds), 0.95 * best.most, 1e-6, 'shortest useful length')
      near(t, value(toSeconds ?? NaN), 0.95 * best.most, 1e-6, 'longest useful length')
      const { subSeconds } = answer.recommended
      t.ok(subSeconds > fromSeconds && subSeconds < (toSeconds ?? NaN), `${subSeconds} s lies between`)
      near(t, answer.informationShare, value(subSeconds) / best.most, 1e-6, 'share of the optimum')
      t.equal(answer.limitedBy, 'losses')
    })
  }
}

void t.test('closed forms of what read noise does', async (t) => {
  const { answer } = await ask(requestOf(GARDEN))
  const { subSeconds } = answer.recommended
  near(t, secondsOf(answer, 'read-noise'), 9 / (1.6 * (1.05 ** 2 - 1)), 1e-12, 'R²/((S + D)((1 + q)² − 1))')
  near(t, answer.swampFactor ?? NaN, (1.5 * subSeconds) / 9, 1e-12, 'S t/R²')
  near(t, answer.readNoiseExcess ?? NaN, Math.sqrt(1 + 9 / (1.6 * subSeconds)) - 1, 1e-12, 'read noise in quadrature')
  near(t, answer.darkToSky ?? NaN, 0.1 / 1.5, 1e-12, 'dark current over sky')
})

void t.test('what a night yields: subs kept on the clock, and their ratio', async (t) => {
  const { answer } = await ask(requestOf(GARDEN, { availableSeconds: 7200 }))
  const { subSeconds, subCount, integrationSeconds, clockSeconds } = answer.recommended
  const perKept = (subSeconds + 8) * Math.exp((2 / 3600) * subSeconds)
  t.equal(subCount, Math.floor(7200 / perKept))
  t.equal(integrationSeconds, subCount * subSeconds)
  near(t, clockSeconds, subCount * perKept, 1e-12, 'clock')
  const electrons = subCount * subSeconds
  const snr = (0.2 * electrons) / Math.sqrt(1.8 * electrons + subCount * 9)
  near(t, answer.expected.snrPerPixel ?? NaN, snr, 1e-12, 'CCD equation')
})

void t.test('an old CCD in a narrow band under a dark sky is advised by its optimum, in words too', async (t) => {
  const afterwards = (await ask(requestOf(NARROW))).answer
  within(t, secondsOf(afterwards, 'losses') / 60, 25.5, 0.5, 'found out afterwards: 25 to 26 min')
  const atOnce = (await ask(requestOf(NARROW, { interruptionCost: 'aborted-at-once' }))).answer
  within(t, secondsOf(atOnce, 'losses') / 60, 36, 1, 'aborted at once: about 36 min')
  t.ok(secondsOf(afterwards, 'read-noise') > 7 * 3600, '5 % would ask for hours')
  t.match(
    afterwards.explanation.join(' '),
    /would take subs of 7\.3 h; they would cost more in spoiled subs than they save in read noise, so the loss optimum decides/,
  )
  t.same(afterwards.collisions, [])
})

void t.test('without interruptions nothing argues against longer subs', async (t) => {
  const { answer } = await ask(requestOf({ ...GARDEN, perHour: 0 }))
  t.equal(answer.usefulRange.toSeconds, null)
  t.match(answer.explanation.join(' '), /Nothing argues against longer subs; from .* on any length is as good/)
  const { fromSeconds } = answer.usefulRange
  const tau = 9 / 1.8
  near(t, fromSeconds ** 2 / ((fromSeconds + 8) * (fromSeconds + tau)), 0.95, 1e-9, 'dead time and read noise cost 5 %')
})

void t.test('a sky that fills the well before the read noise is drowned: what collides is named', async (t) => {
  const bright = { ...GARDEN, sky: 49, dark: 0, target: 1, read: 40 }
  const request = requestOf(bright)
  const { status, answer } = await ask({ ...request, camera: { ...request.camera, fullWellElectrons: 1000 } })
  t.equal(status, 200)
  near(t, secondsOf(answer, 'sky-background'), 500 / 50, 1e-12, 'sky and target fill half the well')
  t.equal(answer.recommended.subSeconds, 10)
  t.equal(answer.limitedBy, 'sky-background')
  t.match(answer.collisions[0], { lower: 'read-noise', upper: 'sky-background' })
  const said = answer.explanation.join(' ')
  t.match(said, /drowning the read noise asks for 5.3 min, but the background filling the well allows 10 s/i)
  t.match(said, /to 10 s is within 5 % of the best that is allowed\./)
  const value = informationPerHour(bright, 'found-afterwards')
  near(t, answer.informationShare, value(10) / searched(value).most, 1e-6, 'what the collision leaves')
})

void t.test('a star that clips in every mode has no advice', async (t) => {
  const { status, errors } = await ask({
    camera: {
      pixelSizeUm: 4,
      readModes: [
        { label: 'shallow', readNoiseElectrons: 1.5, electronsPerAdu: 0.3, fullWellElectrons: 15_000 },
        { label: 'deep', readNoiseElectrons: 4, electronsPerAdu: 1, fullWellElectrons: 60_000 },
      ],
    },
    optics: { apertureMm: 100, focalLengthMm: 500 },
    sky: { electronsPerPixelSecond: 1 },
    target: { starElectronsPerSecond: 1e12 },
  })
  t.equal(status, 422)
  t.match(errors, [/^\/target\/starElectronsPerSecond: /])
})

void t.test('of two read modes the one that collects most, or as much with the deeper well', async (t) => {
  const modes = [
    { label: 'quiet', readNoiseElectrons: 1.5, electronsPerAdu: 0.3, fullWellElectrons: 15_000 },
    { label: 'deep', readNoiseElectrons: 5, electronsPerAdu: 1, fullWellElectrons: 60_000 },
  ]
  const under = async (sky: number) => {
    const { answer } = await ask({ camera: { readModes: modes }, sky: { electronsPerPixelSecond: sky } })
    t.same(
      answer.readModes?.map(({ label }) => label),
      ['quiet', 'deep'],
    )
    return answer.recommended.readMode
  }
  t.equal(await under(0.02), 'quiet', 'under a dark sky read noise counts')
  t.equal(await under(30), 'deep', 'under a bright one it does not')
})

void t.test('a ladder of lengths: the best rung, or a refusal where all are too long', async (t) => {
  const value = informationPerHour(GARDEN, 'found-afterwards')
  const ladder = [1200, 10, 300, 60]
  const { answer } = await ask(requestOf(GARDEN, { subLadderSeconds: ladder }))
  const best = ladder.reduce((a, b) => (value(b) > value(a) ? b : a))
  t.equal(answer.recommended.subSeconds, best)
  const short = (await ask(requestOf(GARDEN, { subLadderSeconds: [2, 1] }))).answer
  t.equal(short.recommended.subSeconds, 2)
  t.match(short.explanation.join(' '), /None of your lengths lies in that range; 2 s collects most of those/)
  t.notMatch(short.explanation.join(' '), /Measure /, 'no measurement would help')
  const refused = await ask(requestOf(GARDEN, { subLadderSeconds: [60, 120], longestTrackedSeconds: 30 }))
  t.equal(refused.status, 422)
  t.match(refused.errors, [/^\/plan\/subLadderSeconds: /])
})

void t.test('a sky measured on a sub is what is left of it without offset and dark current', async (t) => {
  const { answer } = await ask({
    camera: {
      readNoiseElectrons: 2,
      electronsPerAdu: 0.5,
      offsetAdu: 500,
      darkCurrent: { electronsPerPixelSecond: 0.1, atCelsius: 0 },
      temperatureCelsius: 0,
    },
    sky: { measured: { backgroundAdu: 1700, subSeconds: 120 } },
  })
  near(t, answer.channels[0]?.rates.skyElectronsPerPixelSecond ?? NaN, (1200 * 0.5) / 120 - 0.1, 1e-12, 'electrons')
})

void t.test('electrons through a named band belong to the pixels that see it', async (t) => {
  const camera = { color: 'bayer' as const, readNoiseElectrons: 2 }
  const channelOf = async (filter?: Request['filter']) =>
    (await ask({ camera, sky: { electronsPerPixelSecond: 1 }, ...(filter && { filter }) })).answer.channels
  t.match(await channelOf({ band: 'h-alpha' }), [{ channel: 'red', samplingFraction: 0.25 }])
  t.match(await channelOf({ band: 'blue' }), [{ channel: 'blue', samplingFraction: 0.25 }])
  t.match(await channelOf(), [{ channel: 'green', samplingFraction: 0.5 }])
})

void t.test('on a mosaic the answer says by which pixels it goes, and why', async (t) => {
  const said = async (more: Partial<Request>) => {
    const { answer } = await ask({
      camera: { like: 'cooled-color-cmos' },
      optics: { apertureMm: 80, focalLengthMm: 480 },
      sky: { magPerArcsec2: 20 },
      ...more,
    })
    return answer.explanation.at(-1)
  }
  t.equal(
    await said({ filter: { band: 'h-alpha' }, target: { line: 'h-alpha', rayleighs: 50 } }),
    'All this goes by the red pixels, which alone see the target.',
  )
  t.match(
    await said({ target: { surfaceMagPerArcsec2: 22 } }),
    /^All this goes by the (red|blue) pixels, of those that see the target the ones with the least signal for their noise\.$/,
  )
  t.match(await said({}), /pixels, which get the least light for their noise\.$/)
})

void t.test('a range too narrow to be told apart is one length', async (t) => {
  const { answer } = await ask(requestOf(GARDEN, { longestTrackedSeconds: 0.017 }))
  t.equal(answer.explanation[1], 'Only about 0.017 s is within 5 % of the best that is allowed.')
})

void t.test('water settles on a sensor that a cooler holds below the air, not on one that has none', async (t) => {
  const warned = async (camera: Request['camera']) => {
    const { answer } = await ask({ camera, sky: { electronsPerPixelSecond: 1 } })
    return answer.cautions.join(' ').includes('dew point')
  }
  t.ok(await warned({ readNoiseElectrons: 2, temperatureCelsius: -10 }), 'nobody said how it got so cold')
  t.ok(await warned({ like: 'cooled-mono-cmos', temperatureCelsius: -10 }))
  t.notOk(await warned({ like: 'unmodified-consumer', temperatureCelsius: -5 }), 'a winter night')
})

void t.test('three short objects: everything filled in is listed, and nothing that was given', async (t) => {
  const { answer } = await ask({
    camera: { like: 'cooled-mono-cmos', readNoiseElectrons: 1.4 },
    optics: { apertureMm: 80, focalLengthMm: 480 },
    sky: { bortleClass: 5 },
  })
  const listed = answer.assumptions.map(({ pointer }) => pointer)
  for (const pointer of [
    '/camera/quantumEfficiency',
    '/camera/fullWellElectrons',
    '/camera/darkCurrent',
    '/camera/temperatureCelsius',
    '/optics/transmission',
    '/filter',
    '/sky/magPerArcsec2',
    '/sky/lamps',
    '/plan/overheadSeconds',
    '/plan/interruptionsPerHour',
    '/plan/readNoiseTolerance',
    '/plan/availableSeconds',
  ]) {
    t.ok(listed.includes(pointer), pointer)
  }
  t.notOk(listed.some((pointer) => /readNoiseElectrons|apertureMm|focalLengthMm|bortleClass/.test(pointer)))
  t.equal(new Set(listed).size, listed.length, 'each once')
})

void t.test('an uncertain read noise: the uncertainty of the optimum by a difference', async (t) => {
  const at = async (readNoiseElectrons: number) => {
    const request = requestOf(NARROW)
    return secondsOf((await ask({ ...request, camera: { ...request.camera, readNoiseElectrons } })).answer, 'losses')
  }
  const request = requestOf(NARROW)
  const readNoiseElectrons = { value: 9, standardUncertainty: 0.3 }
  const { answer } = await ask({ ...request, camera: { ...request.camera, readNoiseElectrons } })
  const slope = ((await at(9.01)) - (await at(8.99))) / 0.02
  const told = answer.uncertainty?.find(({ quantity }) => quantity === '/recommended/subSeconds')
  near(t, told?.standardUncertainty ?? NaN, slope * 0.3, 0.01, 'of the length')
  t.match(told?.contributions, [{ input: '/camera/readNoiseElectrons', share: 1 }])
})

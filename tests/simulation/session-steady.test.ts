// Sessions in which nothing happens but noise: after the plan's own length was set right, which takes a few subs at most, no
// advice may change it again, and nothing may be named.

import t from 'tap'
import { sessionCheck } from '../../src/routes/session-check/index.ts'
import { seededRandom } from '../support/random.ts'

const SEED = Number(process.env.FUZZ_SEED ?? 20261115)
const SUBS = 500
const SESSIONS = 14

type Request = Parameters<typeof sessionCheck.handle>[0]
type Sub = Request['subs'][number]
type Random = ReturnType<typeof seededRandom>

const CAMERAS = [
  { readNoiseElectrons: 1.6, electronsPerAdu: 0.25, offsetAdu: 500, fullWellElectrons: 16000 },
  { readNoiseElectrons: 9, electronsPerAdu: 0.6, offsetAdu: 1000, fullWellElectrons: 35000 },
  { readNoiseElectrons: 3.5, electronsPerAdu: 1.5, offsetAdu: 250, fullWellElectrons: 60000 },
]
const LADDERS = [[60, 120, 300, 600], [30, 45, 60, 90, 120, 180, 240, 300, 480, 600], [60, 180, 300], undefined]

const choose = <Item>(random: Random, items: readonly Item[]): Item =>
  items[Math.floor(random.uniform() * items.length)] as Item

const between = (random: Random, low: number, high: number): number => low + (high - low) * random.uniform()

interface Steady {
  request: Omit<Request, 'subs'>
  sky: number
  readNoiseElectrons: number
  electronsPerAdu: number
  offsetAdu: number
  pixels: number
  scatter: { flicker: number; flux: number; fwhm: number; guiding: number; celsius: number }
  fluxLossPerHour: number
  overheadSeconds: number
  /** Fields that the script does not measure. */
  missing: (keyof Sub)[]
}

function steadySession(random: Random): Steady {
  const camera = choose(random, CAMERAS)
  const sky = Math.exp(between(random, Math.log(0.1), Math.log(6)))
  const subLadderSeconds = choose(random, LADDERS)
  const overheadSeconds = choose(random, [3, 6, 15])
  const measured = ['relativeStarFlux', 'relativeFwhm', 'guidingErrorArcsec', 'sensorCelsius'] as const
  return {
    request: {
      camera: { ...camera, temperatureCelsius: -10, darkCurrent: { electronsPerPixelSecond: 0.002, atCelsius: -10 } },
      ...(random.uniform() < 0.7 && { sky: { electronsPerPixelSecond: sky } }),
      target: { electronsPerPixelSecond: sky / 10 },
      plan: {
        subSeconds: choose(random, subLadderSeconds ?? [60, 120, 300]),
        ...(subLadderSeconds !== undefined && { subLadderSeconds }),
        ...(random.uniform() < 0.5 && { overheadSeconds }),
        ...(random.uniform() < 0.5 && { interruptionsPerHour: between(random, 0, 2) }),
      },
    },
    sky,
    ...camera,
    pixels: choose(random, [1000, 20e6]),
    scatter: {
      flicker: between(random, 0, 0.008),
      flux: between(random, 0.005, 0.06),
      fwhm: between(random, 0.02, 0.08),
      guiding: between(random, 0.05, 0.2),
      celsius: between(random, 0.02, 0.15),
    },
    fluxLossPerHour: between(random, 0, 0.04),
    overheadSeconds,
    missing: measured.filter(() => random.uniform() < 0.25),
  }
}

/** A sub of a session; a sky that repeats after eight hours stands for nights that follow each other. */
function subAt(session: Steady, seconds: number, subSeconds: number, random: Random): Sub {
  const { sky, readNoiseElectrons, electronsPerAdu, offsetAdu, pixels, scatter } = session
  const electrons = sky * subSeconds * random.normal(1, scatter.flicker)
  const noise = 1.25 * Math.sqrt((electrons + readNoiseElectrons ** 2) / pixels)
  const sub: Sub = {
    startedAt: new Date(Date.UTC(2026, 10, 14, 20) + seconds * 1000).toISOString(),
    subSeconds,
    backgroundAdu: Math.round(random.normal(electrons, noise) / electronsPerAdu + offsetAdu),
    relativeStarFlux: random.normal(1 - (session.fluxLossPerHour * (seconds % 28800)) / 3600, scatter.flux),
    relativeFwhm: random.normal(1, scatter.fwhm),
    guidingErrorArcsec: Math.abs(random.normal(0.7, 0.7 * scatter.guiding)),
    sensorCelsius: random.normal(-10, scatter.celsius),
  }
  for (const name of session.missing) Reflect.deleteProperty(sub, name)
  return sub
}

void t.test(`no change in ${SUBS} subs of noisy constant conditions, and hardly a name`, (t) => {
  let named = 0
  for (let index = 0; index < SESSIONS; index++) {
    const random = seededRandom(SEED + index)
    const session = steadySession(random)
    const subs: Sub[] = []
    const changes: number[] = []
    let subSeconds = session.request.plan?.subSeconds ?? 60
    let somethingNamed = false
    for (let seconds = 0; subs.length < SUBS; seconds += subSeconds + session.overheadSeconds) {
      subs.push(subAt(session, seconds, subSeconds, random))
      const answer = sessionCheck.handle({ ...session.request, subs })
      somethingNamed ||= answer.conditions.length > 0
      if (answer.subSeconds !== subSeconds) changes.push(subs.length)
      subSeconds = answer.subSeconds
    }
    if (somethingNamed) named++
    t.ok(changes.length <= 1 && (changes[0] ?? 0) <= 5, `session ${index}: changed after subs [${changes.join(', ')}]`)
  }
  t.ok(named <= 1, `${named} of ${SESSIONS} sessions had a name (seed ${SEED})`)
  t.end()
})

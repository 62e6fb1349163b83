// Nights in which a script asks after every sub, electron by electron: what following the checks collects, against every
// length of the ladder kept all night, and whether what went on was named.

import t from 'tap'
import { Draws } from './draws.ts'
import { namesGiven, playChecked, playFixed, type Played } from './session-play.ts'
import {
  CCD,
  CMOS,
  eventfulNight,
  eventsOf,
  frostyNight,
  quietNight,
  type Events,
  type Scene,
} from './session-scenes.ts'

const SEED = Number(process.env.FUZZ_SEED ?? 20261114)
const LADDER = [60, 120, 180, 300, 600]

const TOWN: Scene = {
  camera: CMOS,
  skyElectronsPerPixelSecond: 1.2,
  targetElectronsPerPixelSecond: 0.1,
  cloudFactor: 1.6,
}
const MEADOW: Scene = {
  camera: CCD,
  skyElectronsPerPixelSecond: 0.6,
  targetElectronsPerPixelSecond: 0.06,
  cloudFactor: 0.8,
}
const H_ALPHA: Scene = {
  camera: CMOS,
  skyElectronsPerPixelSecond: 0.08,
  targetElectronsPerPixelSecond: 0.02,
  cloudFactor: 1.3,
}

function setupOf({ camera, skyElectronsPerPixelSecond, targetElectronsPerPixelSecond }: Scene, subSeconds: number) {
  const { readNoiseElectrons, electronsPerAdu, offsetAdu, bitDepth, doublingCelsius, atCelsius } = camera
  const darkCurrent = { electronsPerPixelSecond: camera.darkElectronsPerPixelSecond, atCelsius, doublingCelsius }
  return {
    camera: { readNoiseElectrons, electronsPerAdu, offsetAdu, bitDepth, darkCurrent, temperatureCelsius: atCelsius },
    sky: { electronsPerPixelSecond: skyElectronsPerPixelSecond },
    target: { electronsPerPixelSecond: targetElectronsPerPixelSecond },
    plan: { overheadSeconds: 6, subSeconds, subLadderSeconds: LADDER },
  }
}

function checked(scene: Scene, night: ReturnType<typeof quietNight>, seed: number, firstSeconds: number): Played {
  return playChecked(night, { setup: setupOf(scene, firstSeconds), firstSeconds, seed })
}

/** Whether each disturbance was named while it was there, and nothing before its time. */
function judge(played: Played, { cloud, moon, cooling, cars }: Events): Record<string, boolean> {
  const given = namesGiven(played)
  const said = (name: string, from: number, to: number) =>
    given.some((one) => one.name === name && one.said > from && one.said < to + 600)
  const before = (name: string, from: number) => given.some((one) => one.name === name && one.said < from)
  const results: Record<string, boolean> = {
    cloud: said('cloud', cloud.from, cloud.to) && !before('cloud', cloud.from),
    moonlight: said('moonlight', moon.from, Infinity) && !before('moonlight', moon.from),
    'cooling failure': said('cooling-failure', cooling.from, Infinity) && !before('cooling-failure', cooling.from),
    'nothing else': given.every(({ name }) => EXPECTED.has(name)),
  }
  cars.forEach((car, index) => {
    const hit = played.frames.find(({ startSeconds, subSeconds }) => startSeconds + subSeconds > car)
    // A car between two subs lights neither.
    results[`car ${index + 1}`] =
      hit === undefined ||
      hit.startSeconds > car + 2 ||
      hit.startSeconds + hit.subSeconds < car + 6 ||
      given.some(({ name, since }) => name === 'passing-light' && Math.abs(since - hit.startSeconds) < 1)
  })
  return results
}

const EXPECTED = new Set(['cloud', 'moonlight', 'cooling-failure', 'passing-light'])

void t.test('every disturbance is named in at least 95 of 100 nights', (t) => {
  const counts = new Map<string, number>()
  for (let night = 0; night < 100; night++) {
    const scene = [TOWN, MEADOW, TOWN, H_ALPHA][night % 4] ?? TOWN
    const events = eventsOf(new Draws(SEED + 1000 + night))
    const played = checked(scene, eventfulNight(scene, events), SEED + night, LADDER[night % 5] ?? 60)
    for (const [name, right] of Object.entries(judge(played, events))) {
      counts.set(name, (counts.get(name) ?? 0) + Number(right))
    }
  }
  for (const [name, count] of counts) t.ok(count >= 95, `${name}: ${count} of 100 (seed ${SEED})`)
  t.end()
})

void t.test('five cars that lift subs of ten minutes by an eighth, three of them early, are each told', (t) => {
  const LONG = 600
  const LIT = [2, 6, 9, 17, 30]
  for (const [place, scene] of Object.entries({ town: TOWN, meadow: MEADOW })) {
    const told = new Map(LIT.map((sub) => [sub, 0]))
    let elsewhere = 0
    for (let night = 0; night < 100; night++) {
      const draws = new Draws(SEED + 2000 + night)
      const lights = LIT.map((sub) => ({
        seconds: sub * (LONG + 6) + 60 + 400 * draws.uniform(),
        lasts: 6,
        electronsPerPixelSecond: (scene.skyElectronsPerPixelSecond * LONG) / 8 / 6,
      }))
      const { plan, ...setup } = setupOf(scene, LONG)
      const played = playChecked(
        { ...quietNight(scene), lights },
        { setup: { ...setup, plan: { ...plan, subLadderSeconds: [LONG] } }, firstSeconds: LONG, seed: SEED + night },
      )
      const subs = namesGiven(played).map(({ since }) => Math.round(since / (LONG + 6)))
      for (const sub of new Set(subs)) {
        const count = told.get(sub)
        if (count === undefined) elsewhere++
        else told.set(sub, count + 1)
      }
    }
    for (const [sub, count] of told) t.ok(count >= 95, `${place}, sub ${sub}: ${count} of 100 (seed ${SEED})`)
    t.ok(elsewhere <= 5, `${elsewhere} names elsewhere`)
  }
  t.end()
})

void t.test('a quiet night has no name in at least 95 of 100, and no length is changed twice', (t) => {
  let quiet = 0
  let steady = 0
  for (let night = 0; night < 100; night++) {
    const scene = [TOWN, MEADOW, H_ALPHA][night % 3] ?? TOWN
    const firstSeconds = LADDER[night % 5] ?? 60
    const { answers, frames } = checked(
      scene,
      { ...quietNight(scene), durationSeconds: 14400 },
      SEED + night,
      firstSeconds,
    )
    if (answers.every(({ conditions }) => conditions.length === 0)) quiet++
    const changes = frames.filter((frame, index) => frame.subSeconds !== (frames[index - 1] ?? frame).subSeconds)
    if (changes.length <= 1) steady++
  }
  t.ok(quiet >= 95, `${quiet} of 100 (seed ${SEED})`)
  t.equal(steady, 100, 'at most the one change that the plan needed')
  t.end()
})

void t.test('frost is told from cloud in at least 95 of 100', (t) => {
  let named = 0
  for (let night = 0; night < 100; night++) {
    const played = checked(TOWN, frostyNight(TOWN), SEED + night, 300)
    const last = played.answers.at(-1)?.conditions.map(({ name }) => name) ?? []
    if (last.includes('frost') && !last.includes('cloud')) named++
  }
  t.ok(named >= 95, `${named} of 100 (seed ${SEED})`)
  t.end()
})

void t.test(
  'following the checks collects 95 % of the best length in hindsight, and more than the planned one',
  (t) => {
    for (const [name, scene, planned] of [
      ['town', TOWN, 60],
      ['meadow', MEADOW, 120],
      ['H-alpha', H_ALPHA, 60],
      ['H-alpha, planned too long', H_ALPHA, 300],
    ] as const) {
      let best = 0
      const fixed = new Map<number, number>()
      let followed = 0
      for (let seed = 0; seed < 6; seed++) {
        const night = eventfulNight(scene, eventsOf(new Draws(SEED + 2000 + seed)))
        followed += checked(scene, night, SEED + seed, planned).information
        for (const length of LADDER) {
          fixed.set(length, (fixed.get(length) ?? 0) + playFixed(night, length, SEED + seed).information)
        }
      }
      best = Math.max(...fixed.values())
      t.ok(followed >= 0.95 * best, `${name}: ${(followed / best).toFixed(3)} of the best length in hindsight`)
      const ratio = followed / (fixed.get(planned) ?? NaN)
      if (planned === 300)
        t.ok(ratio > 0.99, `${name}: ${ratio.toFixed(3)} of the planned length, which is near the best`)
      else t.ok(ratio > 1, `${name}: ${ratio.toFixed(3)} of the planned length`)
    }
    t.end()
  },
)

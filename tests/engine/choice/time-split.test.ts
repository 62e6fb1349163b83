import fc from 'fast-check'
import t from 'tap'
import { runSeconds, splitTime, taskCount, taskSnr, type ExposureTask } from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'

const SEED = Number(process.env.FUZZ_SEED ?? 20261125)

const task = (over: Partial<ExposureTask> = {}): ExposureTask => ({
  signalElectrons: 10,
  variance: 400,
  calibrationVariance: 0,
  ditherPositions: 1,
  snr: 5,
  clockSecondsPerSub: 100,
  ...over,
})

void t.test('a count and the ratio it yields are each other’s inverse', (t) => {
  // SNR² = N Q²/v: 25 = N · 100/400, N = 100.
  near(t, taskCount(task(), 1) ?? NaN, 100, 1e-12, 'the count')
  near(t, taskSnr(task(), 100), 5, 1e-12, 'the ratio')
  near(t, taskSnr(task(), 400), 10, 1e-12, 'four times the subs, twice the ratio')
  const calibrated = task({ calibrationVariance: 40, ditherPositions: 8, snr: 3 })
  near(t, taskSnr(calibrated, taskCount(calibrated, 1) ?? NaN), 3, 1e-12, 'with calibration noise')
  // Below M subs every sub has its own pointing: N (v + c).
  near(t, taskSnr(calibrated, 4), 40 / Math.sqrt(4 * 440), 1e-12, 'fewer subs than pointings')
  t.equal(taskCount(task({ calibrationVariance: 40, snr: 2 }), 1), null, 'above the ceiling of 10/√40')
  t.equal(taskCount(task({ signalElectrons: 0 }), 1), null, 'no signal')
  t.end()
})

void t.test('what one exposure serves takes as long as its slowest part', (t) => {
  near(t, runSeconds([task(), task({ snr: 10 })], 1) ?? NaN, 40000, 1e-12, 'the slower of 10,000 and 40,000 s')
  t.equal(runSeconds([task(), task({ signalElectrons: 0 })], 1), null)
  t.end()
})

void t.test('without calibration noise time is split by closed form', (t) => {
  const split = splitTime({ runs: [[task()], [task({ variance: 1200 })]], availableSeconds: 10000 })
  near(t, split.level, 0.5, 1e-12, '√(10,000/40,000)')
  near(t, split.seconds[0] ?? NaN, 2500, 1e-12, 'a quarter')
  near(t, split.seconds[1] ?? NaN, 7500, 1e-12, 'three quarters')
  t.end()
})

void t.test('a run without signal, or no time, leaves level 0', (t) => {
  const nothing = { level: 0, seconds: [0, 0] }
  const dark = [task({ signalElectrons: 0 })]
  t.same(splitTime({ runs: [[task()], dark], availableSeconds: 1000 }), nothing)
  t.same(splitTime({ runs: [[task()], [task()]], availableSeconds: 0 }), nothing)
  t.end()
})

void t.test('with calibration noise the time is used up and both runs stand at one level', (t) => {
  const runs = [
    [task({ calibrationVariance: 4 })],
    [task({ calibrationVariance: 1, ditherPositions: 5, variance: 900 })],
  ]
  const { level, seconds } = splitTime({ runs, availableSeconds: 3600 })
  near(
    t,
    seconds.reduce((a, b) => a + b),
    3600,
    1e-9,
    'all of it',
  )
  for (const [index, [it]] of runs.entries()) {
    if (it === undefined) continue
    near(t, taskSnr(it, (seconds[index] ?? NaN) / 100) / it.snr, level, 1e-9, `run ${index}`)
  }
  // A ceiling of 10/√40 against a goal of 5 caps the level, however much time there is.
  const capped = splitTime({ runs: [[task({ calibrationVariance: 40 })]], availableSeconds: 1e12 })
  near(t, capped.level, 10 / Math.sqrt(40) / 5, 1e-6, 'the ceiling')
  t.end()
})

void t.test(`no other split does better (seed ${SEED})`, (t) => {
  const positive = (low: number, high: number) => fc.double({ min: low, max: high, noNaN: true })
  const one = fc.record({ variance: positive(1, 1e4), snr: positive(0.1, 100), calibrationVariance: positive(0, 1) })
  fc.assert(
    fc.property(fc.array(one, { minLength: 2, maxLength: 4 }), positive(0.01, 0.2), (parts, moved) => {
      const tasks = parts.map((part) => task(part))
      const { level, seconds } = splitTime({ runs: tasks.map((it) => [it]), availableSeconds: 7200 })
      const worst = (times: readonly number[]) =>
        Math.min(...tasks.map((it, index) => taskSnr(it, Math.max(1e-9, times[index] ?? NaN) / 100) / it.snr))
      if (Math.abs(worst(seconds) / level - 1) > 1e-6) throw new Error('not at one level')
      const shift = moved * (seconds[0] ?? NaN)
      for (const sign of [1, -1]) {
        const other = seconds.map((time, index) =>
          index === 0 ? time + sign * shift : time - (sign * shift) / (tasks.length - 1),
        )
        if (other.some((time) => time <= 0)) continue
        if (worst(other) > level * (1 + 1e-9)) throw new Error('another split is better')
      }
    }),
    { numRuns: 300, seed: SEED },
  )
  t.pass('the level is the largest minimum')
  t.end()
})

import t from 'tap'
import { clockOfSubs, NIGHT_GAP_SECONDS, PAUSE_SECONDS } from '../../../src/engine/index.ts'

const clocksOf = (...subs: [start: number, length?: number][]) =>
  clockOfSubs(
    Float64Array.from(subs, ([start]) => start),
    Float64Array.from(subs, ([, length = 100]) => length),
  )

void t.test('dead time, pauses and nights are parted', (t) => {
  const pauseFrom = 210 + 100 + PAUSE_SECONDS + 1
  const clocks = clocksOf([0], [105], [210], [pauseFrom], [pauseFrom + 100 + NIGHT_GAP_SECONDS + 1])
  t.same([...clocks.night], [0, 0, 0, 0, 1])
  t.same([...clocks.isFirstOfNight], [1, 0, 0, 0, 1])
  t.same([...clocks.deadSeconds], [5, 5, 0, 0, 0])
  t.same([...clocks.pauseSeconds], [0, 0, 301, 0, 0])
  t.same([...clocks.clockSeconds], [105, 105, 401, 100, 100])
  t.end()
})

void t.test('a gap just at the bounds is dead time of the same night', (t) => {
  const clocks = clocksOf([0], [100 + PAUSE_SECONDS], [200 + PAUSE_SECONDS + NIGHT_GAP_SECONDS])
  t.same([...clocks.deadSeconds], [PAUSE_SECONDS, 0, 0])
  t.same([...clocks.pauseSeconds], [0, NIGHT_GAP_SECONDS, 0])
  t.same([...clocks.night], [0, 0, 0])
  t.end()
})

void t.test('what two subs cover is counted once, and starts to the whole second do not overlap', (t) => {
  const clocks = clocksOf([0], [99], [150], [160, 10], [250])
  t.same([...clocks.isOverlapping], [0, 0, 1, 1, 0])
  t.equal(
    clocks.clockSeconds.reduce((sum, seconds) => sum + seconds, 0),
    350,
  )
  t.equal(clocks.clockSeconds[3], 0, 'one within another takes no time of its own')
  t.end()
})

void t.test('a log without subs has no clock', (t) => {
  t.equal(clocksOf().night.length, 0)
  t.end()
})

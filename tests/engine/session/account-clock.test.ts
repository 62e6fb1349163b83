import t from 'tap'
import { clockOfSubs, NIGHT_GAP_SECONDS } from '../../../src/engine/index.ts'

type Sub = [start: number, length?: number, filter?: number]

const clocksOf = (...subs: Sub[]) =>
  clockOfSubs(
    Float64Array.from(subs, ([start]) => start),
    Float64Array.from(subs, ([, length = 100]) => length),
    Uint8Array.from(subs, ([, , filter = 0]) => filter),
  )

/** Subs of 100 s with these gaps between them. */
function withGaps(...gaps: number[]) {
  let start = 0
  return clocksOf([0], ...gaps.map((gap): Sub => [(start += 100 + gap)]))
}

const sum = (column: Float64Array) => column.reduce((total, seconds) => total + seconds, 0)

void t.test('dead time, pauses and nights are parted', (t) => {
  const clocks = withGaps(5, 5, 301, NIGHT_GAP_SECONDS + 1)
  t.same([...clocks.night], [0, 0, 0, 0, 1])
  t.same([...clocks.before], [-1, 0, 1, 2, -1], 'on nothing from the night before')
  t.same([...clocks.deadSeconds], [5, 5, 0, 0, 0])
  t.same([...clocks.pauseSeconds], [0, 0, 301, 0, 0])
  t.same([...clocks.clockSeconds], [105, 105, 401, 100, 100])
  t.same([...withGaps(5, NIGHT_GAP_SECONDS).night], [0, 0, 0], 'a gap just at the bound')
  t.end()
})

void t.test('a pause goes by the usual gap, not by a number of seconds', (t) => {
  t.same([...withGaps(310, 310, 310, 310).pauseSeconds], [0, 0, 0, 0, 0], 'slow every time')
  t.same([...withGaps(299, 299, 299).pauseSeconds], [0, 0, 0, 0])
  t.same([...withGaps(30, 30, 30, 150, 151).pauseSeconds], [0, 0, 0, 0, 151, 0], 'five times the usual')
  t.same([...withGaps(1, 1, 60, 61).pauseSeconds], [0, 0, 0, 61, 0], 'a minute never is')
  t.same([...withGaps(1800, 1801).pauseSeconds], [0, 1801, 0], 'half an hour always is')
  t.end()
})

void t.test('two cameras each take their own time', (t) => {
  const together = [0, 310, 620].flatMap((start): Sub[] => [
    [start, 300, 0],
    [start, 300, 1],
  ])
  const clocks = clocksOf(...together)
  t.same([...clocks.clockSeconds], [310, 310, 310, 310, 300, 300])
  t.same([...clocks.isOverlapping], [0, 1, 0, 1, 0, 1])
  t.same([...clocks.before], [-1, -1, 0, 1, 2, 3])
  t.end()
})

void t.test('two cameras a little apart each go on with their own filter', (t) => {
  const apart = [0, 310, 620].flatMap((start): Sub[] => [
    [start, 300, 0],
    [start + 4, 300, 1],
  ])
  t.same([...clocksOf(...apart).before], [-1, -1, 0, 1, 2, 3])
  const wheel = clocksOf([0, 100, 0], [50, 1000, 1], [1055, 100, 0], [1160, 100, 0])
  t.same([...wheel.before], [-1, -1, 1, 2], 'not the one that waited long with the filter')
  t.end()
})

void t.test('whatever overlaps, the clock is never below the exposure', (t) => {
  const clocks = clocksOf([0], [99], [150], [160, 10], [250])
  t.same([...clocks.isOverlapping], [0, 0, 1, 1, 0], 'starts to the whole second do not overlap')
  t.equal(sum(clocks.clockSeconds), 410, 'every second of exposure')
  const crowd = Array.from({ length: 40 }, (_, index): Sub => [index])
  const crowded = clocksOf(...crowd, [200])
  t.equal(sum(crowded.clockSeconds), 4100 + 61, 'more than there are cameras')
  t.end()
})

void t.test('a second camera that joins in later did not wait since its last sub', (t) => {
  const clocks = clocksOf([0], [50], [105], [210, 3000], [1200], [3215])
  t.equal(sum(clocks.pauseSeconds), 0)
  t.end()
})

void t.test('a log without subs has no clock', (t) => {
  t.equal(clocksOf().night.length, 0)
  t.end()
})

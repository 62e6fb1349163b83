import t from 'tap'
import { atOnce, inTurns, type Work } from '../../src/setup/work.ts'

function* counting(to: number, seen: number[], busyMilliseconds = 0): Work<string> {
  for (let count = 0; count < to; count++) {
    const end = performance.now() + busyMilliseconds
    while (performance.now() < end);
    seen.push(count)
    yield
  }
  return `${to} counted`
}

function* failing(): Work<string> {
  yield
  throw new Error('no result')
}

void t.test('work comes to the same at once and in turns', async (t) => {
  const atOnceSeen: number[] = []
  const inTurnsSeen: number[] = []
  t.equal(atOnce(counting(5, atOnceSeen)), '5 counted')
  t.equal(await inTurns(counting(5, inTurnsSeen)), '5 counted')
  t.same(inTurnsSeen, atOnceSeen)
  t.throws(() => atOnce(failing()), /no result/)
  await t.rejects(inTurns(failing()), /no result/)
})

void t.test('others have their turn before long work is over, and none while it is done at once', async (t) => {
  const seen: number[] = []
  let seenByOther = NaN
  setImmediate(() => (seenByOther = seen.length))
  await inTurns(counting(20, seen, 6))
  t.ok(seenByOther > 0 && seenByOther < 20, `after ${seenByOther} of 20`)

  const all: number[] = []
  setImmediate(() => (seenByOther = all.length))
  atOnce(counting(5, all, 6))
  await new Promise(setImmediate)
  t.equal(seenByOther, 5)
})

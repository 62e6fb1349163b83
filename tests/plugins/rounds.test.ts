import t from 'tap'
import { buildRounds, type Rounds } from '../../src/plugins/rounds.ts'

/** Work that tells when it is done, and when its result is taken up. */
const telling = (told: string[], inRound: Rounds) => {
  return async (name: string, work: () => void = () => undefined) => {
    const result = await inRound(() => {
      work()
      told.push(`${name} done`)
      return name
    })
    told.push(`${result} taken up`)
  }
}

void t.test('all that waits is done before any of it is taken up', async (t) => {
  const told: string[] = []
  const tell = telling(told, buildRounds(Infinity))
  const round = Promise.all([tell('one'), tell('two'), tell('three')])
  t.same(told, [], 'not at once: more may come in')
  await round
  t.same(told, ['one done', 'two done', 'three done', 'one taken up', 'two taken up', 'three taken up'])
})

void t.test('who took long is not waited for', async (t) => {
  const told: string[] = []
  const tell = telling(told, buildRounds(1))
  const long = () => {
    const end = performance.now() + 2
    while (performance.now() < end);
  }
  await Promise.all([tell('long', long), tell('late', long), tell('last')])
  t.same(told, ['long done', 'long taken up', 'late done', 'late taken up', 'last done', 'last taken up'])
})

void t.test('a failure is of one alone', async (t) => {
  const inRound = buildRounds()
  const settled = await Promise.allSettled([
    inRound(() => 1),
    inRound(() => {
      throw new Error('no answer')
    }),
    inRound(() => 3),
  ])
  t.match(settled, [{ value: 1 }, { reason: { message: 'no answer' } }, { value: 3 }])
})

void t.test('rounds go on', async (t) => {
  const inRound = buildRounds()
  t.equal(await inRound(() => 1), 1)
  t.equal(await inRound(() => 2), 2)
})

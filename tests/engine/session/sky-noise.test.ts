import t from 'tap'
import { noiseInUnits, SkyColumns } from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { seededRandom } from '../../support/random.ts'

/** What a sky is like, sub by sub; noise of one pixel, and of the background in units of it. */
interface Sky {
  count: number
  units?: number
  pixelNoise?: (index: number) => number
  course?: (index: number) => number
  filters?: number
  dimmed?: (index: number) => boolean
}

/** Mean of what many skies are said to scatter by. */
function learnt(sky: Sky): number {
  const { count, units = 0.2, pixelNoise = () => 1, course = () => 0, filters = 1, dimmed = () => false } = sky
  const random = seededRandom(3)
  const places = Array.from({ length: filters }, (_, filter) =>
    Array.from({ length: count }, (_, index) => index).filter((index) => index % filters === filter),
  )
  let sum = 0
  for (let times = 0; times < 400; times++) {
    const columns = new SkyColumns(
      count,
      Uint8Array.from({ length: count }, (_, index) => Number(dimmed(index))),
    )
    for (let index = 0; index < count; index++) {
      columns.pixelNoise[index] = pixelNoise(index)
      columns.ratio[index] = 5 + course(index) + random.normal(0, units * pixelNoise(index))
    }
    sum += noiseInUnits(columns, places)
  }
  return sum / 400
}

// Leaving out what is beyond three deviations, from the quietest on, costs a twentieth.
void t.test('the noise of many subs is found, whatever else goes on', (t) => {
  const found = 0.19
  near(t, learnt({ count: 62 }), found, 0.02, 'quiet')
  near(t, learnt({ count: 62, course: (i) => 0.1 * i }), found, 0.02, 'a rise')
  near(t, learnt({ count: 62, pixelNoise: (i) => (i < 31 ? 1 : 0.3) }), found, 0.02, 'two lengths, one after the other')
  near(t, learnt({ count: 62, pixelNoise: (i) => (i % 4 === 0 ? 1 : 0.3) }), found, 0.08, 'and in turns')
  near(t, learnt({ count: 90, filters: 3, course: (i) => 50 * (i % 3) }), found, 0.02, 'three filters')
  const under = (i: number) => i >= 62
  near(
    t,
    learnt({ count: 130, dimmed: under, course: (i) => (under(i) ? 3 * ((i * i) % 7) : 0) }),
    found,
    0.02,
    'cloud',
  )
  near(t, learnt({ count: 62, course: (i) => (i % 6 === 2 ? 2 : 0) }), found, 0.1, 'lights')
  t.end()
})

void t.test(
  'of few subs the noise comes out low rather than high: neither lights nor a slope are taken for it',
  (t) => {
    for (const count of [9, 12]) {
      const quiet = learnt({ count })
      t.ok(quiet > 0.12 && quiet < 0.2, `${count} quiet ones: ${quiet}`)
      near(t, learnt({ count, course: (i) => i }), quiet, 0.35, `${count} on a slope`)
      const lit = learnt({ count, course: (i) => (i === 2 || i === 5 || i === 7 ? 3 : 0) })
      t.ok(lit < 0.45, `three lights of fifteen deviations in ${count}: ${lit}`)
    }
    near(t, learnt({ count: 5 }), 0.05, 1e-12, 'of five nothing is learnt')
    near(t, learnt({ count: 0 }), 0.05, 1e-12, 'nor of none')
    t.end()
  },
)

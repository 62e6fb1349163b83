import t from 'tap'
import { coverageFactor, studentTwoSidedTail } from '../../../src/engine/detector/student-t.ts'
import { near, refuses } from '../../support/near.ts'

void t.test('two-sided tails in closed form', (t) => {
  near(t, studentTwoSidedTail({ t: 1, degreesOfFreedom: 1 }), 1 / 2, 1e-14, 'ν = 1: 1 - 2/π atan t')
  near(t, studentTwoSidedTail({ t: 2, degreesOfFreedom: 2 }), 1 - 2 / Math.sqrt(6), 1e-14, 'ν = 2: 1 - t/√(2 + t²)')
  near(t, studentTwoSidedTail({ t: 2.5, degreesOfFreedom: 4 }), 0.06676654481198814, 1e-12, 'ν = 4 (scipy)')
  t.equal(studentTwoSidedTail({ t: 0, degreesOfFreedom: 7 }), 1)
  t.end()
})

void t.test('factors for 68.27 % and 99 % (JCGM 100:2008, table G.2)', (t) => {
  for (const [degreesOfFreedom, oneSigma, ninetyNine] of [
    [1, 1.84, 63.66],
    [2, 1.32, 9.92],
    [3, 1.2, 5.84],
    [4, 1.14, 4.6],
    [5, 1.11, 4.03],
    [10, 1.05, 3.17],
    [30, 1.02, 2.75],
  ] as const) {
    const one = coverageFactor({ level: 'one-sigma', degreesOfFreedom })
    const high = coverageFactor({ level: 'ninety-nine-percent', degreesOfFreedom })
    t.equal(Math.round(one * 100) / 100, oneSigma, `ν = ${degreesOfFreedom}, 68.27 %`)
    t.equal(Math.round(high * 100) / 100, ninetyNine, `ν = ${degreesOfFreedom}, 99 %`)
  }
  t.end()
})

void t.test('factors to ten digits (scipy)', (t) => {
  const at = (degreesOfFreedom: number) => coverageFactor({ level: 'three-and-a-half-sigma', degreesOfFreedom })
  near(t, at(1), 1368.3148763388863, 1e-10, 'ν = 1')
  near(t, at(2), 46.344843085860695, 1e-10, 'ν = 2')
  near(t, at(5), 8.09903002404746, 1e-10, 'ν = 5')
  near(t, coverageFactor({ level: 'one-sigma', degreesOfFreedom: 3 }), 1.196881354403156, 1e-10, 'ν = 3')
  t.end()
})

void t.test('a known uncertainty has the factors of the normal distribution', (t) => {
  t.equal(coverageFactor({ level: 'one-sigma', degreesOfFreedom: null }), 1)
  t.equal(coverageFactor({ level: 'ninety-nine-percent', degreesOfFreedom: null }), 2.5758293035489004)
  t.equal(coverageFactor({ level: 'three-and-a-half-sigma', degreesOfFreedom: null }), 3.5)
  near(t, coverageFactor({ level: 'one-sigma', degreesOfFreedom: 1e5 }), 1, 1e-5, 'which many degrees approach')
  t.end()
})

void t.test('what has no meaning is refused', (t) => {
  refuses(t, () => studentTwoSidedTail({ t: -1, degreesOfFreedom: 1 }), 'out-of-range', 't')
  refuses(t, () => coverageFactor({ level: 'one-sigma', degreesOfFreedom: 0 }), 'out-of-range', 'ν')
  t.end()
})

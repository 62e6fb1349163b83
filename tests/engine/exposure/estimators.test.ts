import fc from 'fast-check'
import t from 'tap'
import {
  canReject,
  efficiency,
  fixedLimitClipping,
  smallestRejectingCount,
  type Combine,
} from '../../../src/engine/exposure/estimators.ts'
import { near, refuses, within } from '../../support/near.ts'

const median = (count: number) => efficiency({ combine: 'median', count })
const noiseFactor = (share: number) => 1 / Math.sqrt(share)

for (const { id, count, published, share, factor } of [
  { id: 'D-EST-01', count: 3, published: 0.743, share: 0.742935, factor: 1.16018 },
  { id: 'D-EST-02', count: 4, published: 0.838, share: 0.838365, factor: 1.09215 },
  { id: 'D-EST-03', count: 5, published: 0.697, share: 0.697268, factor: 1.19757 },
  { id: 'D-EST-04', count: 10, published: 0.723, share: 0.722928, factor: 1.17612 },
  { id: 'D-EST-05', count: 15, published: 0.656, share: 0.655557, factor: 1.23508 },
]) {
  void t.test(`${id} median of ${count} (order statistics, Kenney & Keeping 1962 p. 211: ${published})`, (t) => {
    within(t, median(count), published, 5e-4, 'published efficiency')
    within(t, median(count), share, 5e-7, 'efficiency')
    within(t, noiseFactor(median(count)), factor, 5e-6, 'noise factor')
    t.end()
  })
}

void t.test('D-EST-06 median of many: 2/π', (t) => {
  near(t, median(1e9), 2 / Math.PI, 1e-8, 'efficiency')
  within(t, noiseFactor(median(1e9)), 1.253314, 5e-7, 'noise factor')
  t.end()
})

void t.test('median of 3 in closed form: var = 1 − √3/π', (t) => {
  near(t, median(3), 1 / (3 * (1 - Math.sqrt(3) / Math.PI)), 1e-9, 'efficiency')
  t.end()
})

void t.test('median of one and of two is their mean', (t) => {
  t.equal(median(1), 1)
  t.equal(median(2), 1)
  t.end()
})

void t.test('median beyond the table against order statistics (quadrature with scipy 1.10.1)', (t) => {
  for (const { count, share } of [
    { count: 41, share: 0.6433827122106357 },
    { count: 42, share: 0.6579833828759595 },
    { count: 81, share: 0.6400184852771613 },
    { count: 82, share: 0.6476349244832583 },
    { count: 199, share: 0.6379970540552977 },
    { count: 200, share: 0.6411552645905468 },
  ]) {
    near(t, median(count), share, 4e-6, `median of ${count}`)
  }
  t.end()
})

void t.test('the mean is the measure', (t) => {
  t.equal(efficiency({ combine: 'mean', count: 7 }), 1)
  t.end()
})

void t.test('D-EST-07 clipping at limits of 3 σ (computed; form after Huber 1981, from memory)', (t) => {
  const clipped = fixedLimitClipping({ kappa: 3 })
  within(t, clipped.efficiency, 0.970709, 5e-7, 'efficiency')
  within(t, noiseFactor(clipped.efficiency), 1.01498, 5e-6, 'noise factor')
  within(t, clipped.rejectedShare, 0.0026998, 5e-8, 'good frames rejected')
  t.end()
})

void t.test('D-EST-08 clipping at limits of 2 σ (computed; form after Huber 1981, from memory)', (t) => {
  const clipped = fixedLimitClipping({ kappa: 2 })
  within(t, clipped.efficiency, 0.738536, 5e-7, 'efficiency')
  within(t, noiseFactor(clipped.efficiency), 1.16363, 5e-6, 'noise factor')
  within(t, clipped.rejectedShare, 0.0455, 5e-7, 'good frames rejected')
  t.end()
})

const clipped = (count: number, kappa?: number) =>
  efficiency({ combine: 'clipped-mean', count, ...(kappa !== undefined && { kappa }) })

void t.test('D-EST-10 clipped mean at 3 σ of 20 and 50 (simulation with astropy 5.2.1)', (t) => {
  within(t, clipped(20), 0.991, 0.004, '20 frames')
  within(t, clipped(50), 0.98, 0.004, '50 frames')
  t.end()
})

void t.test('clipped mean at 3 σ against simulation (1.2e8 values a row, standard error below 1e-4)', (t) => {
  within(t, clipped(12), 0.999457, 1e-5, '12 frames')
  within(t, clipped(30), 0.985111, 1e-5, '30 frames')
  within(t, clipped(200), 0.970254, 1e-5, '200 frames')
  within(t, clipped(40), 0.98122, 5e-4, '40 frames, between the rows')
  within(t, clipped(75), 0.975, 5e-4, '75 frames, between the rows')
  within(t, clipped(500), 0.96803, 5e-4, '500 frames, between the rows')
  t.end()
})

void t.test('limits that follow the deviation of the kept frames close in (fixed point, scipy 1.10.1)', (t) => {
  near(t, clipped(1e12), 0.9668848260859618, 1e-9, 'κ 3')
  near(t, clipped(1e12, 2.5), 0.8602882624347703, 1e-9, 'κ 2.5')
  t.ok(clipped(1e12) < fixedLimitClipping({ kappa: 3 }).efficiency)
  t.end()
})

void t.test('clipped mean at other κ against simulation (2.4e7 values a row)', (t) => {
  within(t, clipped(8, 2.5), 0.997, 0.012, 'κ 2.5, 8 frames')
  within(t, clipped(20, 2.5), 0.9333, 0.012, 'κ 2.5, 20 frames')
  within(t, clipped(50, 2.5), 0.8952, 0.012, 'κ 2.5, 50 frames')
  within(t, clipped(200, 2.5), 0.8693, 0.012, 'κ 2.5, 200 frames')
  within(t, clipped(50, 4), 0.999727, 0.001, 'κ 4, 50 frames')
  t.end()
})

void t.test('D-EST-11 smallest stack in which clipping can reject (Samuelson 1968, from memory)', (t) => {
  t.equal(smallestRejectingCount({ kappa: 3 }), 11)
  t.equal(smallestRejectingCount({}), 11)
  t.equal(smallestRejectingCount({ kappa: 2.5 }), 8)
  t.notOk(canReject({ count: 10 }))
  t.ok(canReject({ count: 11 }))
  t.notOk(canReject({ count: 7, kappa: 2.5 }))
  t.ok(canReject({ count: 8, kappa: 2.5 }))
  t.end()
})

void t.test('where nothing can be rejected the clipped mean is the mean', (t) => {
  for (let count = 1; count <= 10; count++) t.equal(clipped(count), 1, `${count} frames`)
  t.ok(clipped(11) < 1)
  t.end()
})

void t.test('D-EST-17 subtracting a master, mean-combined of N frames as noisy as the light (computed)', (t) => {
  const factor = (count: number) => Math.sqrt(1 + 1 / (count * efficiency({ combine: 'mean', count })))
  for (const [count, expected] of [
    [1, 1.41421],
    [4, 1.11803],
    [16, 1.03078],
    [50, 1.00995],
  ] as const) {
    within(t, factor(count), expected, 5e-6, `${count} frames`)
  }
  t.end()
})

void t.test('one more sub never makes a stack noisier', (t) => {
  for (const { combine, kappa } of [
    { combine: 'mean', kappa: 3 },
    { combine: 'median', kappa: 3 },
    { combine: 'clipped-mean', kappa: 2.5 },
    { combine: 'clipped-mean', kappa: 3 },
    { combine: 'clipped-mean', kappa: 5 },
  ] as const) {
    const worth = (count: number) => count * efficiency({ combine, count, kappa })
    const falls = Array.from({ length: 2000 }, (_, index) => index + 1).filter(
      (count) => worth(count + 1) < worth(count),
    )
    t.same(falls, [], `${combine}, κ ${kappa}`)
  }
  t.end()
})

void t.test('property: efficiency lies in (0, 1] for any stack', (t) => {
  const combine = fc.constantFrom<Combine>('mean', 'clipped-mean', 'median')
  fc.assert(
    fc.property(
      combine,
      fc.integer({ min: 1, max: 1e9 }),
      fc.double({ min: 2.5, max: 5, noNaN: true }),
      (combine, count, kappa) => {
        const share = efficiency({ combine, count, kappa })
        return share > 0.6 && share <= 1
      },
    ),
    { numRuns: 500, seed: 72 },
  )
  t.pass('500 stacks')
  t.end()
})

void t.test('refuses stacks that cannot be', (t) => {
  refuses(t, () => efficiency({ combine: 'mean', count: 0 }), 'out-of-range', 'no frame')
  refuses(t, () => median(2.5), 'out-of-range', 'half a frame')
  refuses(t, () => canReject({ count: Number.NaN }), 'out-of-range', 'not a number')
  refuses(t, () => clipped(20, 2), 'out-of-range', 'κ too small')
  refuses(t, () => clipped(20, 6), 'out-of-range', 'κ too large')
  refuses(t, () => smallestRejectingCount({ kappa: 0 }), 'out-of-range', 'no κ')
  refuses(t, () => fixedLimitClipping({ kappa: 11 }), 'out-of-range', 'κ past any use')
  t.end()
})

// The simulator's own tools: draws that follow their distributions, and photons that land as the profile says.

import t from 'tap'
import { within } from '../support/near.ts'
import { Draws } from './draws.ts'
import { Moments } from './moments.ts'
import { PoissonCounts } from './poisson-counts.ts'
import { landing, shareInSquare } from './profile.ts'

const COUNT = 400_000

function momentsOf(draw: () => number): Moments {
  const moments = new Moments()
  for (let i = 0; i < COUNT; i++) moments.add(draw())
  return moments
}

void t.test('uniform draws have mean 1/2 and variance 1/12, and the same seed gives the same', (t) => {
  const draws = new Draws(1)
  const { mean, variance } = momentsOf(() => draws.uniform())
  within(t, mean, 1 / 2, 4 * Math.sqrt(1 / 12 / COUNT), 'mean, four standard errors')
  within(t, variance, 1 / 12, 4 * Math.sqrt(1 / 180 / COUNT), 'variance, four standard errors')
  t.equal(new Draws(5).uniform(), new Draws(5).uniform())
  t.not(new Draws(5).uniform(), new Draws(6).uniform())
  t.end()
})

void t.test('normal draws have the spread and the tails of the normal distribution', (t) => {
  const draws = new Draws(2)
  const { mean, variance } = momentsOf(() => draws.normal())
  within(t, mean, 0, 4 / Math.sqrt(COUNT), 'mean')
  within(t, variance, 1, 4 * Math.sqrt(2 / COUNT), 'variance')
  within(t, momentsOf(() => draws.normal() ** 4).mean, 3, 4 * Math.sqrt(96 / COUNT), 'fourth moment')
  t.end()
})

for (const mean of [0, 0.02, 3.3, 80, 20000]) {
  void t.test(`Poisson counts of mean ${mean} are whole and have its variance and third moment`, (t) => {
    const draws = new Draws(3)
    const counts = new PoissonCounts(mean)
    const drawn = momentsOf(() => counts.next(draws))
    within(t, drawn.mean, mean, 4 * Math.sqrt(mean / COUNT), 'mean')
    within(t, drawn.variance, mean, 4 * Math.sqrt((2 * mean ** 2 + mean) / COUNT), 'variance')
    const third = momentsOf(() => (counts.next(draws) - mean) ** 3).mean
    within(t, third, mean, 4 * Math.sqrt((15 * mean ** 3 + 25 * mean ** 2 + mean) / COUNT), 'third central moment')
    t.ok(Number.isInteger(counts.next(draws)))
    t.end()
  })
}

for (const profile of [{ fwhmPx: 1.7 }, { fwhmPx: 1.7, moffatBeta: 2.5 }]) {
  void t.test(`photons land as the profile says, ${profile.moffatBeta ?? 'Gaussian'}`, (t) => {
    const draws = new Draws(4)
    const square = { x: 0.8, y: -0.3, side: 1 }
    const hits = momentsOf(() => {
      const { x, y } = landing(profile, draws)
      return Math.abs(x - square.x) < 0.5 && Math.abs(y - square.y) < 0.5 ? 1 : 0
    })
    within(t, shareInSquare(profile, square), hits.mean, 4 * Math.sqrt(hits.variance / COUNT), 'off the centre')
    t.end()
  })
}

import t from 'tap'
import { seededRandom } from './random.ts'
import { within } from './near.ts'

const DRAWS = 200_000

void t.test('the same seed gives the same numbers, another seed others', (t) => {
  const first = seededRandom(7)
  const again = seededRandom(7)
  const other = seededRandom(8)
  const drawn = [first.uniform(), first.normal(0, 1), first.poisson(3), first.poisson(300)]
  t.same([again.uniform(), again.normal(0, 1), again.poisson(3), again.poisson(300)], drawn)
  t.notSame([other.uniform(), other.normal(0, 1), other.poisson(3), other.poisson(300)], drawn)
  t.end()
})

void t.test('uniform draws have mean 1/2 and variance 1/12', (t) => {
  const random = seededRandom(1)
  const values = Array.from({ length: DRAWS }, () => random.uniform())
  t.ok(values.every((value) => value >= 0 && value < 1))
  const { mean, variance } = moments(values)
  within(t, mean, 1 / 2, 4 * Math.sqrt(1 / 12 / DRAWS), 'mean, four standard errors')
  within(t, variance, 1 / 12, 4 * Math.sqrt(1 / 180 / DRAWS), 'variance, four standard errors')
  t.end()
})

void t.test('normal draws have the mean, spread and tails of the normal distribution', (t) => {
  const random = seededRandom(2)
  const values = Array.from({ length: DRAWS }, () => random.normal(3, 2))
  const { mean, variance } = moments(values)
  within(t, mean, 3, 4 * Math.sqrt(4 / DRAWS), 'mean')
  within(t, variance, 4, 4 * 4 * Math.sqrt(2 / DRAWS), 'variance')
  const beyond = values.filter((value) => Math.abs(value - 3) > 4).length / DRAWS
  within(t, beyond, 0.0455, 4 * Math.sqrt(0.0455 / DRAWS), 'share beyond two standard deviations')
  t.end()
})

for (const mean of [0, 0.3, 4, 9.9, 10, 25, 1000, 2e6]) {
  void t.test(`Poisson draws of mean ${mean} have its variance and third moment, and are whole`, (t) => {
    const random = seededRandom(3)
    const values = Array.from({ length: DRAWS }, () => random.poisson(mean))
    t.ok(values.every((value) => Number.isInteger(value) && value >= 0))
    const drawn = moments(values)
    within(t, drawn.mean, mean, 4 * Math.sqrt(mean / DRAWS), 'mean')
    within(t, drawn.variance, mean, 4 * Math.sqrt((2 * mean ** 2 + mean) / DRAWS), 'variance')
    const third = values.reduce((sum, value) => sum + (value - mean) ** 3, 0) / DRAWS
    const spread = Math.sqrt((15 * mean ** 3 + 25 * mean ** 2 + mean) / DRAWS)
    within(t, third, mean, 4 * spread, 'third central moment')
    t.end()
  })
}

void t.test('Poisson frequencies follow the distribution on both sides of the change of method', (t) => {
  for (const mean of [9.5, 10.5, 40]) {
    const random = seededRandom(4)
    const counts = new Map<number, number>()
    for (let draw = 0; draw < DRAWS; draw++) {
      const value = random.poisson(mean)
      counts.set(value, (counts.get(value) ?? 0) + 1)
    }
    let probability = Math.exp(-mean)
    let chiSquare = 0
    let cells = 0
    for (let count = 0; count < 100; count++) {
      if (count > 0) probability *= mean / count
      const expected = probability * DRAWS
      if (expected < 20) continue
      chiSquare += ((counts.get(count) ?? 0) - expected) ** 2 / expected
      cells++
    }
    t.ok(chiSquare < cells + 4 * Math.sqrt(2 * cells), `mean ${mean}: chi-square ${chiSquare} over ${cells} counts`)
  }
  t.end()
})

function moments(values: readonly number[]): { mean: number; variance: number } {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length
  const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length
  return { mean, variance }
}

// The small numerical parts: medians, equations, interpolation, planes.

import t from 'tap'

import { BackgroundMap } from '../../src/frames/background-map.ts'
import type { BlockBackground } from '../../src/frames/block-totals.ts'
import { gradientOf, skyLevel, skyNoise } from '../../src/frames/gradient.ts'
import { LinearSystem } from '../../src/frames/linear-system.ts'
import { median, weightedMedian } from '../../src/frames/median.ts'
import { LEVEL, SPREAD, SUM, quickSelect } from '../../src/frames/mesh.ts'
import { MESH_FIELDS, POSITIONS } from '../../src/frames/picture.ts'
import { within } from '../support/near.ts'
import { seededRandom } from '../support/random.ts'

void t.test('quick selection finds every rank, of distinct and of repeated numbers', (t) => {
  const random = seededRandom(21)
  for (const values of [2, 7, 1000].map((span) =>
    Array.from({ length: 101 }, () => Math.floor(random.uniform() * span)),
  )) {
    const sorted = values.toSorted((one, other) => one - other)
    const found = sorted.map((_, rank) => quickSelect(Float64Array.from(values), values.length, rank))
    t.strictSame(found, sorted)
  }
  t.end()
})

void t.test('medians, plain and weighted', (t) => {
  t.equal(median([]), undefined)
  t.equal(median([5]), 5)
  t.equal(median([9, 1, 4]), 4)
  t.equal(median([9, 1, 4, 6]), 5)
  const weighted = (...items: [number, number][]) => weightedMedian(items.map(([value, weight]) => ({ value, weight })))
  t.equal(weighted(), undefined)
  t.equal(weighted([3, 1], [1, 1], [2, 1]), 2)
  t.equal(weighted([1, 1], [2, 1], [3, 5]), 3)
  t.equal(weighted([1, 2], [5, 2]), 3)
  t.equal(weighted([4, 0]), 4)
  t.end()
})

void t.test('least squares: a line through points, and equations that determine nothing', (t) => {
  const system = new LinearSystem(2)
  for (const x of [0, 1, 2, 3]) system.add(Float64Array.of(1, x), 5 - 2 * x)
  const solution = system.solve(0)
  within(t, solution?.[0] ?? NaN, 5, 1e-12, 'intercept')
  within(t, solution?.[1] ?? NaN, -2, 1e-12, 'slope')
  system.clear()
  system.add(Float64Array.of(1, 0), 3)
  t.equal(system.solve(0), undefined)
  t.end()
})

void t.test('Marquardt: damping multiplies the diagonal by 1 + damping', (t) => {
  const system = new LinearSystem(1)
  system.add(Float64Array.of(2), 6)
  within(t, system.solve(0)?.[0] ?? NaN, 3, 1e-15, 'undamped')
  within(t, system.solve(0.5)?.[0] ?? NaN, 2, 1e-15, 'damped')
  t.end()
})

/** Blocks of 64 x 64 cells, each figure of block (column, row) being `figure`. */
function mapOf(columns: number, rows: number, figure: (column: number, row: number) => number): BackgroundMap {
  const edges = (count: number): number[] => Array.from({ length: count + 1 }, (_, edge) => 64 * edge)
  const blocks = Array.from({ length: columns * rows }, (_, block) =>
    figure(block % columns, Math.floor(block / columns)),
  )
  const mesh = Float64Array.from(blocks.flatMap((value) => new Array<number>(MESH_FIELDS).fill(value)))
  return new BackgroundMap({ columnEdges: edges(columns), rowEdges: edges(rows) }, mesh)
}

void t.test('the background is interpolated between block centers and held beyond the outer ones', (t) => {
  const map = mapOf(4, 3, (column, row) => 100 + 64 * column + 640 * row)
  const at = (x: number, y: number, field = SUM): number => map.moveTo(x, y).figure(field)
  within(t, at(31.5, 31.5), 100, 1e-9, 'a center')
  within(t, at(63.5, 31.5), 132, 1e-9, 'half-way')
  within(t, at(95.5 + 16, 95.5 + 32, LEVEL), 100 + 64 + 16 + 640 + 320, 1e-9, 'both ways')
  within(t, at(0, 0, SPREAD + 3), 100, 1e-9, 'first corner')
  within(t, at(255, 191), 100 + 3 * 64 + 2 * 640, 1e-9, 'last corner')
  t.end()
})

void t.test('one block that lies off is outvoted by its neighbours, and one without figures takes theirs', (t) => {
  const odd = mapOf(5, 5, (column, row) => (column === 2 && row === 2 ? 9999 : 50))
  t.equal(odd.moveTo(159.5, 159.5).figure(SUM), 50)
  const gaps = mapOf(3, 1, (column) => (column === 1 ? 50 : Number.NaN))
  t.strictSame(
    [0, 95, 191].map((x) => gaps.moveTo(x, 31).figure(SUM)),
    [50, 50, 50],
  )
  t.notOk(gaps.isEmpty)
  t.ok(mapOf(2, 2, () => Number.NaN).isEmpty)
  t.end()
})

/** Blocks on a grid, with levels from a function of the place (-1/2 to 1/2). */
function blocksOf(columns: number, rows: number, level: (x: number, y: number) => number): BlockBackground[] {
  return Array.from({ length: columns * rows }, (_, block) => {
    const x = ((block % columns) + 0.5) / columns - 0.5
    const y = (Math.floor(block / columns) + 0.5) / rows - 0.5
    return { level: new Float64Array(4).fill(level(x, y)), noise: Float64Array.of(3, 4, 3, 4), x, y, cellCount: 10 }
  })
}

void t.test('a plane is found exactly, and a nebula on a quarter of the frame does not move it', (t) => {
  const plane = (x: number, y: number): number => 1000 + 40 * x - 12 * y
  const nebula = (x: number, y: number): number => plane(x, y) + (x > 0 && y > 0 ? 300 * x * y + 50 : 0)
  for (const level of [plane, nebula]) {
    const blocks = blocksOf(12, 10, level)
    const gradient = gradientOf(blocks, POSITIONS)
    within(t, gradient?.middle ?? NaN, 1000, 1e-9, 'middle')
    within(t, gradient?.acrossWidth ?? NaN, 40, 1e-9, 'across width')
    within(t, gradient?.acrossHeight ?? NaN, -12, 1e-9, 'across height')
    within(t, skyLevel(blocks, POSITIONS, gradient) ?? NaN, 1000, 1e-9, 'sky')
  }
  t.end()
})

void t.test('no plane from too few blocks, nor from one row of them', (t) => {
  const level = (): number => 7
  t.equal(gradientOf(blocksOf(3, 1, level), POSITIONS), undefined)
  t.equal(gradientOf(blocksOf(12, 1, level), POSITIONS), undefined)
  t.equal(gradientOf(blocksOf(1, 12, level), POSITIONS), undefined)
  t.equal(gradientOf([], POSITIONS), undefined)
  t.match(gradientOf(blocksOf(2, 2, level), POSITIONS), { acrossWidth: 0, acrossHeight: 0, middle: 7 })
  t.end()
})

void t.test('level and noise of the sky without a gradient; blocks that have none are left out', (t) => {
  const blocks = blocksOf(3, 1, (x) => 100 + x)
  const [first] = blocks
  first?.level.fill(NaN)
  first?.noise.fill(NaN)
  within(t, skyLevel(blocks, [1], undefined) ?? NaN, 100 + 1 / 6, 1e-12, 'level')
  within(t, skyNoise(blocks, [0, 1]) ?? NaN, Math.sqrt(12.5), 1e-12, 'noise')
  t.equal(skyLevel([], POSITIONS, undefined), undefined)
  t.end()
})

// A log of 100,000 subs over 500 nights in two filters, as JSON and as CSV.

import { MEMBERS, GARDEN, H_ALPHA_7NM, NEBULA } from '../../src/contract/heron-ridge.ts'
import { seededRandom } from '../support/random.ts'

const SUBS = 100_000

const random = seededRandom(4)
const subs = Array.from({ length: SUBS }, (_, index) => {
  const isAccepted = random.uniform() > 0.05
  return {
    startedAt: new Date(
      Date.UTC(2024, 0, 1) + Math.floor(index / 200) * 86_400_000 + (index % 200) * 130_000,
    ).toISOString(),
    subSeconds: index % 3 === 0 ? 60 : 120,
    filter: index % 2 === 0 ? 'Ha' : 'OIII',
    backgroundAdu: Math.round(560 + 60 * random.uniform()),
    relativeStarFlux: Number((1 - 0.5 * random.uniform() ** 3).toFixed(3)),
    fwhmArcsec: Number((2.5 + 1.5 * random.uniform()).toFixed(2)),
    sensorCelsius: Number((-10 + 0.4 * random.normal(0, 1)).toFixed(1)),
    accepted: isAccepted,
    ...(!isAccepted && { rejectedFor: 'cloud' }),
  }
})
const { camera, optics, plan } = MEMBERS['cooled-mono']
export const setup = {
  camera,
  optics,
  sky: GARDEN,
  filters: [
    { label: 'Ha', filter: H_ALPHA_7NM },
    { label: 'OIII', filter: { band: 'o-iii' as const }, target: { line: 'o-iii' as const, rayleighs: 150 } },
  ],
  target: NEBULA,
  plan: { ...plan, calibration: { darkFrames: 30, ditherPositions: 12 } },
  goal: { snr: 300, per: 'arcsec2' },
}
const columns = [
  'startedAt',
  'subSeconds',
  'filter',
  'backgroundAdu',
  'relativeStarFlux',
  'fwhmArcsec',
  'sensorCelsius',
  'accepted',
  'rejectedFor',
] as const
export const csv = [
  columns.join(','),
  ...subs.map((sub) =>
    columns.map((name) => String((sub as Partial<Record<string, string | number | boolean>>)[name] ?? '')).join(','),
  ),
].join('\n')

export const json = JSON.stringify({ ...setup, subs })

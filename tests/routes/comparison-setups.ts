// Set-ups to compare, and what is read from the answers.

import { comparison } from '../../src/routes/comparison/index.ts'

export type Request = Parameters<typeof comparison.handle>[0]
export type Setup = Request['setups'][number]

export const GARDEN = { magPerArcsec2: 19 }
export const MEADOW = { magPerArcsec2: 21.5 }

export const camera = (over: Partial<Setup['camera']> = {}): Setup['camera'] => ({
  color: 'mono',
  pixelSizeUm: 4,
  widthPx: 6000,
  heightPx: 4000,
  quantumEfficiency: 0.8,
  readNoiseElectrons: 2,
  darkCurrent: { electronsPerPixelSecond: 0.01, atCelsius: 0 },
  ...over,
})

export const bareSetup = (name: string): Setup => ({
  name,
  camera: camera(),
  optics: { apertureMm: 100, focalLengthMm: 500, transmission: 0.9 },
  plan: { overheadSeconds: 5, interruptionsPerHour: 1, refocusSeconds: 0 },
  price: 1000,
})

export const setup = (name: string, over: Partial<Setup> = {}): Setup => ({
  ...bareSetup(name),
  filter: { band: 'luminance' },
  ...over,
})

export const ask = (setups: Setup[], over: Partial<Request> = {}) =>
  comparison.handle({
    setups,
    targets: [{ name: 'galaxy', surfaceMagPerArcsec2: 22.5 }],
    skies: [{ name: 'garden', sky: { magPerArcsec2: 20 }, hoursPerNight: 5 }],
    goal: { snr: 10 },
    ...over,
  })

export const hoursOf = (answer: ReturnType<typeof ask>, index: number) => answer.setups[index]?.totalHours ?? NaN
export const rowOf = (answer: ReturnType<typeof ask>, index: number) => {
  const row = answer.rows[index]
  if (row === undefined) throw new Error(`no row ${index}`)
  return row
}

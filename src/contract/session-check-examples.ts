// The club's sessions.

import type { z } from 'zod'
import { H_ALPHA_7NM, MEMBERS, NEBULA } from './heron-ridge.ts'
import type { SessionCheckRequestSchema } from './session-check.ts'

type Examples = Record<
  string,
  { summary: string; description: string; request: z.input<typeof SessionCheckRequestSchema> }
>

const GARDEN_SESSION: Omit<z.input<typeof SessionCheckRequestSchema>, 'subs'> = {
  camera: MEMBERS['cooled-mono'].camera,
  sky: { electronsPerPixelSecond: 0.12 },
  target: { electronsPerPixelSecond: 0.03 },
  plan: { overheadSeconds: 6, interruptionsPerHour: 1, subSeconds: 180, subLadderSeconds: [60, 120, 180, 300, 600] },
}

/** Subs of the club’s garden session, three and a bit minutes apart. */
function gardenSubs(backgrounds: readonly number[], flux: readonly number[]) {
  return backgrounds.map((backgroundAdu, index) => ({
    startedAt: new Date(Date.UTC(2026, 10, 14, 21, 0, index * 186)).toISOString(),
    subSeconds: 180,
    backgroundAdu,
    sensorCelsius: -10,
    relativeStarFlux: flux[index] ?? 1,
    relativeFwhm: 1,
  }))
}

export const sessionCheckExamples: Examples = {
  'the-least-a-script-needs': {
    summary: 'The least a script needs',
    description:
      'A camera and the backgrounds of four subs: the sky is learnt from them, and subs of a minute are too short.',
    request: {
      camera: { readNoiseElectrons: 3, electronsPerAdu: 1, offsetAdu: 500 },
      subs: [0, 1, 2, 3].map((index) => ({
        startedAt: new Date(Date.UTC(2026, 10, 14, 21, 0, index * 66)).toISOString(),
        subSeconds: 60,
        backgroundAdu: 548,
      })),
    },
  },
  'before-the-first-sub': {
    summary: 'Before the first sub',
    description: 'No sub yet: the plan’s own advice.',
    request: {
      camera: MEMBERS['cooled-mono'].camera,
      optics: MEMBERS['cooled-mono'].optics,
      filter: H_ALPHA_7NM,
      sky: { magPerArcsec2: 18.9 },
      target: NEBULA,
      plan: { ...MEMBERS['cooled-mono'].plan, subLadderSeconds: [60, 120, 180, 300, 600] },
      goal: { snr: 20, per: 'arcsec2' },
      subs: [],
    },
  },
  'cloud-over-the-garden': {
    summary: 'Cloud over the garden',
    description: 'The stars lose light while the town lifts the background.',
    request: {
      ...GARDEN_SESSION,
      goal: { snr: 8, per: 'pixel' },
      endsAt: '2026-11-15T04:30:00Z',
      subs: gardenSubs([590, 589, 591, 590, 608, 640, 652], [1, 1.01, 0.99, 1, 0.82, 0.55, 0.46]),
    },
  },
  'two-filters-and-a-warm-sensor': {
    summary: 'Two filters, and a cooler that lets go',
    description: 'The temperature leaves the set-point; the answer tells which darks still match.',
    request: {
      camera: MEMBERS['cooled-mono'].camera,
      sky: { electronsPerPixelSecond: 0.12 },
      plan: { overheadSeconds: 6, interruptionsPerHour: 1, subSeconds: 180 },
      darks: [
        { celsius: -10, subSeconds: 180 },
        { celsius: -10, subSeconds: 300 },
        { celsius: -5, subSeconds: 180 },
      ],
      filters: [
        { label: 'H-alpha', target: { electronsPerPixelSecond: 0.03 }, goal: { snr: 8, per: 'pixel' } },
        { label: 'O-III', target: { electronsPerPixelSecond: 0.015 }, goal: { snr: 5, per: 'pixel' }, collectedSnr: 2 },
      ],
      subs: [
        { startedAt: '2026-11-14T21:00:00Z', subSeconds: 180, filter: 'H-alpha', sensorCelsius: -10 },
        { startedAt: '2026-11-14T21:03:06Z', subSeconds: 180, filter: 'O-III', sensorCelsius: -9.9 },
        { startedAt: '2026-11-14T21:06:12Z', subSeconds: 180, filter: 'H-alpha', sensorCelsius: -7.4 },
        { startedAt: '2026-11-14T21:09:18Z', subSeconds: 180, filter: 'O-III', sensorCelsius: -5.6, accepted: true },
      ],
    },
  },
}

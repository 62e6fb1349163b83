// Worked examples of an account, in JSON and in CSV.

import type { z } from 'zod'
import { GARDEN, H_ALPHA_7NM, MEMBERS, NEBULA } from './heron-ridge.ts'
import type { SessionAccountRequestSchema, SessionAccountSetupSchema } from './session-account.ts'
import type { LoggedSubSchema } from './session-log.ts'

const START = Date.UTC(2026, 10, 21, 19, 40)

/** A made-up evening of the garden: haze about the middle, a car, the Moon coming up at its end. */
function gardenEvening(): z.input<typeof LoggedSubSchema>[] {
  return Array.from({ length: 24 }, (_, index) => {
    const haze = Math.max(0, 1 - Math.abs(index - 11) / 4)
    const moonlit = Math.max(0, index - 17) / 6
    const isCar = index === 6
    return {
      startedAt: new Date(START + index * 307_000).toISOString(),
      subSeconds: 300,
      backgroundAdu: Math.round(641 + 30 * haze + 160 * moonlit + (isCar ? 900 : 0)),
      relativeStarFlux: Number((1 - 0.55 * haze).toFixed(2)),
      sensorCelsius: -10,
      ...(isCar && { accepted: false, rejectedFor: 'car' }),
    }
  })
}

type Examples<Request> = Record<string, { summary: string; description: string; request: Request }>

const COOLED = MEMBERS['cooled-mono']

const GARDEN_SETUP: z.input<typeof SessionAccountSetupSchema> = {
  camera: COOLED.camera,
  optics: COOLED.optics,
  filter: H_ALPHA_7NM,
  sky: GARDEN,
  target: NEBULA,
  plan: { ...COOLED.plan, calibration: { darkFrames: 30, ditherPositions: 12 } },
  goal: { snr: 6, per: 'arcsec2' },
}

export const sessionAccountExamples: Examples<z.input<typeof SessionAccountRequestSchema>> = {
  'garden-evening': {
    summary: 'An evening in the garden through one filter',
    description: 'Haze about the middle, one car, and a Moon that comes up at the end.',
    request: { ...GARDEN_SETUP, subs: gardenEvening() },
  },
  'two-filters-two-nights': {
    summary: 'Two filters, two nights, one line that cannot be used',
    description: 'Everything measured in electrons. A line names a filter that is not declared; the rest is accounted.',
    request: {
      camera: { readNoiseElectrons: 1.6, darkCurrent: { electronsPerPixelSecond: 0.0008, atCelsius: -10 } },
      sky: { electronsPerPixelSecond: 0.05 },
      filters: [
        { label: 'Ha', target: { electronsPerPixelSecond: 0.04 }, goal: { snr: 8, per: 'pixel' } },
        {
          label: 'OIII',
          sky: { electronsPerPixelSecond: 0.08 },
          target: { electronsPerPixelSecond: 0.02 },
          goal: { snr: 5, per: 'pixel' },
        },
      ],
      plan: { overheadSeconds: 6, interruptionsPerHour: 1 },
      everySub: true,
      subs: [
        { startedAt: '2026-11-21T19:40:00Z', subSeconds: 300, filter: 'Ha', backgroundElectronsPerPixelSecond: 0.05 },
        { startedAt: '2026-11-21T19:45:07Z', subSeconds: 300, filter: 'Ha', relativeStarFlux: 0.9 },
        { startedAt: '2026-11-21T19:50:14Z', subSeconds: 300, filter: 'OIII', backgroundElectronsPerPixelSecond: 0.3 },
        { startedAt: '2026-11-22T19:38:00Z', subSeconds: 180, filter: 'OIII', relativeStarFlux: 1.02 },
        { startedAt: '2026-11-22T19:41:07Z', subSeconds: 180, filter: 'SII' },
        { startedAt: '2026-11-22T19:44:14Z', subSeconds: 180, filter: 'OIII', accepted: false, rejectedFor: 'cloud' },
      ],
    },
  },
}

/** The same evening as lines of CSV. */
function inCsv(subs: readonly z.input<typeof LoggedSubSchema>[]): string {
  const columns = ['startedAt', 'subSeconds', 'backgroundAdu', 'relativeStarFlux', 'accepted', 'rejectedFor'] as const
  const rows = subs.map((sub) => columns.map((name) => String(sub[name] ?? '')).join(','))
  return [columns.join(','), ...rows, ''].join('\r\n')
}

export const sessionAccountCsvExamples: Record<
  string,
  { summary: string; description: string; request: string; setup: z.input<typeof SessionAccountSetupSchema> }
> = {
  'garden-evening': {
    summary: 'The evening in the garden, as the camera’s script wrote it',
    description:
      'With curl: `curl --url-query request@setup.json --data-binary @night.csv -H "Content-Type: text/csv" …/v1/session-account`.',
    setup: GARDEN_SETUP,
    request: inCsv(gardenEvening()),
  },
}

// A line of a log: one sub, with what was measured on it.

import { z } from 'zod'
import { quantity, subSeconds } from './fields.ts'

/** Most lines of a log. */
export const MOST_SUBS_LOGGED = 100_000

export const filterLabel = z
  .string()
  .min(1)
  .max(60)
  .meta({ description: 'Your name for the filter.', examples: ['Ha'] })

/** The fields of a line, from which lines are checked one by one. */
export const loggedSubFields = {
  startedAt: z.iso.datetime({ offset: true }).meta({
    description: 'When the exposure began, ISO 8601 with `Z` or an offset.',
    examples: ['2026-11-21T19:42:10Z'],
  }),
  subSeconds,
  filter: filterLabel.optional().meta({
    description: 'The filter, by the label it has in `filters`. Needed where there are several.',
    examples: ['Ha'],
  }),
  backgroundAdu: quantity({
    unit: 'adu',
    minimum: 0,
    maximum: 1e9,
    description:
      'Median level of a starless patch of the raw sub, offset included. Needs `electronsPerAdu` and `offsetAdu` of the camera.',
    example: 655,
  }).optional(),
  backgroundElectronsPerPixelSecond: quantity({
    unit: 'electron/(pixel.s)',
    minimum: 0,
    maximum: 1e9,
    description: 'The sky on one pixel, offset and dark current taken off; in place of `backgroundAdu`.',
    example: 0.9,
  }).optional(),
  relativeStarFlux: quantity({
    unit: '',
    minimum: 0,
    maximum: 10,
    description: 'Light of the field’s stars against a clear reference sub: 1 clear, 0.5 half of it lost. Default 1.',
    example: 0.97,
  }).optional(),
  fwhmArcsec: quantity({
    unit: 'arcsec',
    minimum: 0.1,
    maximum: 60,
    description: 'Full width at half maximum of the stars; matters for a star.',
    example: 3.1,
  }).optional(),
  relativeFwhm: quantity({
    unit: '',
    minimum: 0.05,
    maximum: 20,
    description: 'The same against `plan.fwhmArcsec`; in place of `fwhmArcsec`.',
    example: 1.05,
  }).optional(),
  sensorCelsius: quantity({
    unit: 'deg_C',
    minimum: -150,
    maximum: 80,
    description: 'Temperature of the sensor. Default: the camera’s.',
    example: -10,
  }).optional(),
  accepted: z.boolean().optional().meta({ description: 'Whether it goes into the stack. Default true.' }),
  interrupted: z.boolean().optional().meta({
    description:
      'Whether something spoiled it: cloud, stray light, guiding. Default: true for a sub that is not accepted.',
  }),
  rejectedFor: z
    .string()
    .min(1)
    .max(60)
    .optional()
    .meta({ description: 'Why it is not accepted, in your own word.', examples: ['cloud'] }),
}

export const LoggedSubSchema = z
  .strictObject(loggedSubFields)
  .meta({ id: 'LoggedSub', description: 'One sub of a log: a line.' })

export const SessionLogCsvSchema = z.string().meta({
  id: 'SessionLogCsv',
  description:
    'A log in CSV (RFC 4180), a line for each sub. The header names the columns as the fields of `LoggedSub` are named; `startedAt` and `subSeconds` must be there. Cells are separated by commas; an empty cell says nothing.',
})

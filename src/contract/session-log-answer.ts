// How a log was read, and the nights in it.

import { z } from 'zod'
import { seconds } from './fields.ts'

export const subCount = z.int().min(0)
export const lineNumber = z.int().min(0)

/** How an answer numbers lines. */
export const LINE = 'In CSV the line of the file, its header being line 1; in JSON the index in `subs`, from 0.'

const BadLineSchema = z
  .strictObject({
    line: lineNumber.meta({ description: LINE }),
    pointer: z.string().optional().meta({ description: 'JSON Pointer to what is wrong; for a log in JSON.' }),
    message: z.string().meta({ description: 'What was given, and what is allowed.' }),
  })
  .meta({ id: 'BadLine', description: 'A line that could not be used.' })

const LOG_REMARKS = [
  'clock-backwards',
  'overlapping',
  'duplicate',
  'background-below-dark',
  'no-background',
  'no-star-flux',
] as const

const LogRemarkSchema = z
  .strictObject({
    kind: z.enum(LOG_REMARKS).meta({ description: 'What is odd.' }),
    subCount: subCount.meta({ description: 'Subs it is true of.' }),
    lines: z.array(lineNumber).meta({ description: `The first twenty of them. ${LINE}` }),
    explanation: z.string().meta({ description: 'What was made of it.' }),
  })
  .meta({ id: 'LogRemark', description: 'Something odd about lines that could be used.' })

export const AccountedLogSchema = z
  .strictObject({
    lineCount: subCount.meta({ description: 'Lines read, the header not counted.' }),
    usedCount: subCount.meta({ description: 'Lines that could be used, accepted subs and others.' }),
    badLineCount: subCount.meta({ description: 'Lines that could not.' }),
    badLines: z.array(BadLineSchema).meta({ description: 'What is wrong with them; the first 200 messages.' }),
    furtherBadLines: z.array(lineNumber).meta({ description: `Bad lines that \`badLines\` has no room for. ${LINE}` }),
    remarks: z.array(LogRemarkSchema).meta({ description: 'What is odd about the others.' }),
  })
  .meta({ id: 'AccountedLog', description: 'How the log was read.' })

const nightTime = (description: string, example: string) => z.iso.datetime().meta({ description, examples: [example] })

export const AccountedNightSchema = z
  .strictObject({
    startedAt: nightTime('Start of the first sub, UTC.', '2026-11-21T19:40:00.000Z'),
    endedAt: nightTime('End of the last sub, UTC.', '2026-11-22T04:12:30.000Z'),
    clockSeconds: seconds.meta({ description: 'Between the two.', 'x-unit': 's' }),
    exposureSeconds: seconds.meta({ description: 'Exposure of the accepted subs.', 'x-unit': 's' }),
    subCount: subCount.meta({ description: 'Accepted subs.' }),
    rejectedCount: subCount.meta({ description: 'Subs not accepted.' }),
  })
  .meta({ id: 'AccountedNight', description: 'One night of the log.' })

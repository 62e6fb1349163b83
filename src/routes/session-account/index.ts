import type { z } from 'zod'
import { sessionAccountCsvExamples, sessionAccountExamples } from '../../contract/session-account-examples.ts'
import {
  SessionAccountAnswerSchema,
  SessionAccountRequestSchema,
  SessionAccountSetupSchema,
} from '../../contract/session-account.ts'
import { SessionLogCsvSchema } from '../../contract/session-log.ts'
import { inquireLong } from '../../setup/long-inquiry.ts'
import { atOnce, inTurns } from '../../setup/work.ts'
import { question } from '../endpoint.ts'
import { encode } from './encode.ts'
import { CsvLogReader } from './log/csv-log.ts'
import { JsonLogReader, readJsonLog } from './log/json-log.ts'
import type { SubLog } from './log/sub-log.ts'
import { quantities, solve } from './solve.ts'

type Setup = z.infer<typeof SessionAccountSetupSchema>

/** Room for the longest log in JSON, written out with every field. */
const BODY_LIMIT_BYTES = 32 * 1024 * 1024

export const sessionAccount = question({
  id: 'sessionAccount',
  path: '/v1/session-account',
  tag: 'Session',
  summary: 'What was the night worth, and what is still missing?',
  description:
    'Accounts the log of a night or of many, up to 100,000 subs: the signal-to-noise ratio reached in each filter with the best weights and without, effective hours, which subs to drop, how often something came in between (ready to send back in `plan`), how near calibration lets the stack get, the hours still missing, and the one thing that held the session back most. The set-up is that of the other questions; where the log has several filters, `filters` says what each is. Lines that cannot be used are named in the answer, and the rest is accounted. A log in CSV goes into the body as `text/csv` (its header names the columns as JSON names the fields; an empty cell says nothing), and the rest of the question, without `subs`, into the query parameter `request`: `curl --url-query request@setup.json --data-binary @night.csv -H "Content-Type: text/csv" …/v1/session-account`.',
  request: SessionAccountRequestSchema,
  answer: SessionAccountAnswerSchema,
  examples: sessionAccountExamples,
  bodyLimitBytes: BODY_LIMIT_BYTES,
  list: {
    field: 'subs',
    setup: SessionAccountSetupSchema,
    csv: SessionLogCsvSchema,
    csvExamples: sessionAccountCsvExamples,
    readItems: () => {
      const reader = new JsonLogReader()
      return {
        take: (item) => {
          reader.take(item)
        },
        takeQuickly: (text, from) => reader.takeQuickly(text, from),
        answer: (setup) => inTurns(account(setup as Setup, reader.log)),
      }
    },
    readCsv: () => {
      const reader = new CsvLogReader()
      return {
        take: (piece) => {
          reader.take(piece)
        },
        answer: (setup) => inTurns(account(setup as Setup, reader.end())),
      }
    },
  },
  handle: ({ subs, ...setup }) => atOnce(account(setup, readJsonLog(subs))),
})

function* account(request: Setup, log: SubLog) {
  try {
    return yield* inquireLong(request, {
      solve: (plain, notes) => solve(plain, log, notes),
      quantities,
      encode,
    })
  } finally {
    log.leave()
  }
}

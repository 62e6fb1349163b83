import { z } from 'zod'
import { commonAnswerFields } from './answer.ts'
import { CameraSchema } from './camera.ts'
import { seconds } from './fields.ts'
import { SendableNumberSchema } from './measured-value.ts'
import { FilterSchema, OpticsSchema } from './optics.ts'
import { GoalSchema, PlanSchema } from './plan.ts'
import { FilterAccountSchema, heldBackFactor } from './session-filter-account.ts'
import { AccountedLogSchema, AccountedNightSchema, subCount } from './session-log-answer.ts'
import { filterLabel, LoggedSubSchema, MOST_SUBS_LOGGED } from './session-log.ts'
import { SkySchema, TargetSchema } from './sky.ts'

const FilterEntrySchema = z
  .strictObject({
    label: filterLabel,
    filter: FilterSchema.optional(),
    sky: SkySchema.optional().meta({ description: 'The reference sky through this filter, where it differs.' }),
    target: TargetSchema.optional().meta({ description: 'What this filter is for, where it differs.' }),
    goal: GoalSchema.optional().meta({ description: 'The goal for this filter, where it differs.' }),
  })
  .meta({ id: 'LoggedFilter', description: 'One of several filters, with what differs from the rest of the request.' })

export const SessionAccountSetupSchema = z
  .strictObject({
    camera: CameraSchema,
    optics: OpticsSchema.optional(),
    filter: FilterSchema.optional(),
    filters: z.array(FilterEntrySchema).min(1).max(20).optional().meta({
      description: 'The filters of the log, where there are several; in place of `filter`.',
    }),
    sky: SkySchema.meta({ description: 'The sky under reference conditions: what a good sub would have.' }),
    target: TargetSchema.optional().meta({ description: 'What was imaged; here, or in each entry of `filters`.' }),
    plan: PlanSchema.optional(),
    goal: GoalSchema.optional(),
    everySub: z.boolean().optional().meta({
      description: 'Whether to tell weight, signal and variance of every sub that counts. Default false: a summary.',
    }),
  })
  .meta({ id: 'SessionAccountSetup', description: 'What a log was taken with, and what for.' })

export const SessionAccountRequestSchema = SessionAccountSetupSchema.extend({
  subs: z.array(LoggedSubSchema).max(MOST_SUBS_LOGGED).meta({
    'x-checked-one-by-one': true,
    description:
      'The log, a line for each sub. Lines that cannot be used are named in the answer, and the rest is accounted.',
  }),
}).meta({ id: 'SessionAccountRequest', description: 'A log with what it was taken with.' })

const HeldBackSchema = z
  .strictObject({
    factor: heldBackFactor,
    effectiveSeconds: seconds.meta({
      description: 'Effective time that would have been gained had this alone been as it should be.',
      'x-unit': 's',
    }),
    explanation: z.string().meta({ description: 'What that means.' }),
  })
  .meta({ id: 'HeldBack', description: 'What one thing cost.' })

const IntervalSchema = z
  .strictObject({ from: z.number().min(0), to: z.number().min(0) })
  .meta({ id: 'RateInterval', description: 'Confidence interval, per hour.' })

const LearntInterruptionsSchema = z
  .strictObject({
    count: subCount.meta({ description: 'Interruptions that began; a run of spoiled subs is one.' }),
    watchedSeconds: seconds.meta({ description: 'Exposure in which one could have begun.', 'x-unit': 's' }),
    perHour: z.number().min(0).nullable().meta({ description: 'Per hour of exposure; null for an empty log.' }),
    interval68: IntervalSchema.nullable().meta({ description: 'At 68.27 %, exact (Garwood 1936).' }),
    interval95: IntervalSchema.nullable().meta({ description: 'At 95 %, exact (Garwood 1936).' }),
    plan: z.strictObject({ interruptionsPerHour: SendableNumberSchema }).nullable().meta({
      description:
        'Ready to send back in `plan`: (count + ½) over the time watched, the mean after Jeffreys’ prior; null where less than two hours were watched.',
    }),
  })
  .meta({ id: 'LearntInterruptions', description: 'How often something came in between.' })

export const SessionAccountAnswerSchema = z
  .strictObject({
    heldBackMost: heldBackFactor.nullable().meta({
      description: 'The one thing that held the log back most, over all filters; null when nothing did.',
    }),
    heldBack: z.array(HeldBackSchema).meta({ description: 'All that did, the most first.' }),
    filters: z.array(FilterAccountSchema).meta({ description: 'An account for each filter.' }),
    interruptions: LearntInterruptionsSchema,
    nights: z.array(AccountedNightSchema).meta({
      description: 'The nights: a gap of six hours without a sub parts two of them.',
    }),
    log: AccountedLogSchema,
    ...commonAnswerFields,
  })
  .meta({ id: 'SessionAccountAnswer' })

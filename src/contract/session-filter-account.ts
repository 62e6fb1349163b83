// What a log yielded in one filter.

import { z } from 'zod'
import { HELD_BACK_FACTORS } from '../engine/index.ts'
import { seconds, subSeconds } from './fields.ts'
import { LINE, lineNumber, subCount } from './session-log-answer.ts'

const snr = z.number().min(0)
const share = z.number().min(0)

const StackedSnrSchema = z
  .strictObject({
    snr: snr.meta({ description: 'Signal-to-noise ratio of the stack.' }),
    snrWithoutCalibration: snr.meta({ description: 'The same, were dark and flat frames free of noise.' }),
  })
  .meta({ id: 'StackedSnr', description: 'What a stack is worth.' })

const SubWeightsSchema = z
  .strictObject({
    lines: z.array(lineNumber).meta({ description: LINE }),
    weights: z.array(z.number()).meta({
      description:
        'Weight of each frame as it was taken, C⁻¹a: a/v where calibration adds nothing; below 0 where a sub tells more of what calibration left than of the target. The mean of their sizes is 1.',
    }),
    scaledWeights: z.array(z.number()).meta({
      description:
        'Weight after every frame was scaled to one brightness of the target: the weight times a, so a²/v where calibration adds nothing. The mean of their sizes is 1.',
    }),
    signalElectrons: z
      .array(z.number().min(0))
      .meta({ description: 'a: electrons of the target.', 'x-unit': 'electron' }),
    varianceElectrons2: z.array(z.number().min(0)).meta({
      description: 'v: variance without calibration, electrons².',
    }),
  })
  .meta({
    id: 'SubWeights',
    description: 'What each accepted sub is worth: lists of one length, in the order of time.',
  })

export const heldBackFactor = z
  .enum(HELD_BACK_FACTORS)
  .meta({ id: 'HeldBackFactor', description: 'Something that costs information.' })

const FilterHeldBackSchema = z
  .strictObject({
    factor: heldBackFactor,
    effectiveSeconds: seconds.meta({ description: 'Effective time that would have been gained.', 'x-unit': 's' }),
    snr: snr.meta({ description: 'The signal-to-noise ratio without it.' }),
  })
  .meta({ id: 'FilterHeldBack', description: 'What one thing cost in one filter.' })

const MissingTimeSchema = z
  .strictObject({
    subSeconds: subSeconds.nullable().meta({ description: 'The length it goes by; null for the lengths of the log.' }),
    exposureSeconds: seconds.meta({ description: 'Exposure of accepted subs still missing.', 'x-unit': 's' }),
    clockSeconds: seconds.meta({ description: 'Time on the clock that takes.', 'x-unit': 's' }),
  })
  .meta({ id: 'MissingTime', description: 'Time that is still missing.' })

const AccountedGoalSchema = z
  .strictObject({
    snr: z.number().meta({ description: 'The goal.' }),
    per: z.enum(['pixel', 'arcsec2', 'star']),
    reached: z.boolean().meta({ description: 'Whether the weighted stack reaches it.' }),
    atOwnRate: MissingTimeSchema.nullable().meta({
      description:
        'What is missing if things go on as in this log, with its lengths and the best weights; null when that never gets there, or not within 100,000 hours.',
    }),
    atReference: MissingTimeSchema.nullable().meta({
      description:
        'What is missing under reference conditions, in subs of the reference length or, where those never get there, of a length of the log; null when none does.',
    }),
  })
  .meta({ id: 'AccountedGoal', description: 'The goal, and what is missing.' })

export const FilterAccountSchema = z
  .strictObject({
    filter: z.string().meta({ description: 'The filter, by its label.' }),
    per: z.enum(['pixel', 'arcsec2', 'star']).meta({ description: 'What every signal-to-noise ratio here is of.' }),
    subCount: subCount.meta({ description: 'Accepted subs.' }),
    rejectedCount: subCount.meta({ description: 'Subs not accepted.' }),
    exposureSeconds: seconds.meta({ description: 'Exposure of the accepted subs.', 'x-unit': 's' }),
    rejectedSeconds: seconds.meta({ description: 'Exposure of the others.', 'x-unit': 's' }),
    clockSeconds: seconds.meta({
      description:
        'Time on the clock from the start of each sub to the start of the next of its camera within the night; never below the exposure. Where subs overlap, each takes its own time.',
      'x-unit': 's',
    }),
    rejectedFor: z
      .array(
        z.strictObject({
          reason: z.string().nullable().meta({ description: 'As the log says; null where it says nothing.' }),
          subCount,
          exposureSeconds: seconds,
        }),
      )
      .meta({ description: 'Why subs were not accepted; the twenty reasons that cost most.' }),
    weighted: StackedSnrSchema.meta({
      description:
        'With the best weights there are, √(aᵀC⁻¹a); C holds the noise of each sub and what they share through calibration.',
    }),
    equal: StackedSnrSchema.meta({
      description: 'With all accepted subs alike, added up as they are.',
    }),
    effectiveSeconds: seconds.meta({
      description: 'Exposure under reference conditions, stacked by a mean, that collects the same information.',
      'x-unit': 's',
    }),
    effectiveShare: share.meta({ description: 'The same over the exposure of the accepted subs; 0 without any.' }),
    weights: z
      .strictObject({
        smallest: z.number(),
        median: z.number(),
        largest: z.number(),
        effectiveSubCount: z.number().min(0).meta({
          description: 'How many subs of equal weight average noise away as well: (Σ w)²/Σ w², Kish 1965.',
        }),
      })
      .nullable()
      .meta({ description: 'The best weights of the subs, the mean of their sizes being 1; null without subs.' }),
    subs: SubWeightsSchema.optional().meta({ description: 'Every accepted sub, with `everySub`.' }),
    drop: z
      .strictObject({
        subCount: subCount.meta({
          description:
            'Subs that an unweighted stack is better off without: the best set where calibration adds nothing, else one that no single sub betters.',
        }),
        lines: z
          .array(lineNumber)
          .meta({ description: `They themselves, the least useful first; up to 1000. ${LINE}` }),
        equalSnr: snr.meta({ description: 'Of the unweighted stack without them.' }),
        weightedSnr: snr.meta({ description: 'Of the weighted stack without them: what dropping costs there.' }),
      })
      .meta({ description: 'Which subs to drop, and what dropping them does.' }),
    ceilingSnr: snr.nullable().meta({
      description:
        'What no number of subs like these, added up as they are, exceeds; null when calibration sets no ceiling.',
    }),
    shareOfCeiling: share.nullable().meta({ description: 'How near the stack without weights is to it, 0 to 1.' }),
    goal: AccountedGoalSchema.nullable().meta({ description: 'null without a goal.' }),
    heldBack: z.array(FilterHeldBackSchema).meta({ description: 'What held this filter back, the most first.' }),
    reference: z
      .strictObject({
        subSeconds,
        targetElectronsPerPixelSecond: z.number().min(0),
        starElectronsPerSecond: z.number().min(0).nullable(),
        skyElectronsPerPixelSecond: z.number().min(0),
        darkElectronsPerPixelSecond: z.number().min(0),
        snrPerSub: snr.meta({ description: 'Of one sub under reference conditions.' }),
      })
      .meta({ description: 'The conditions that effective time goes by.' }),
  })
  .meta({ id: 'FilterAccount', description: 'What the log yielded in one filter.' })

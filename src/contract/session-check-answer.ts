import { z } from 'zod'
import { commonAnswerFields } from './answer.ts'
import { seconds, subSeconds } from './fields.ts'
import { sessionTime } from './session-check-sub.ts'

const ConditionSchema = z
  .strictObject({
    name: z.enum([
      'cloud',
      'frost',
      'moonlight',
      'passing-light',
      'brighter-background',
      'darker-background',
      'cooling-failure',
      'colder-than-set-point',
      'temperature-drift',
      'guiding',
      'focus',
      'wide-stars',
      'clipped-background',
    ]),
    since: sessionTime('Start of the first sub that shows it.'),
    subCount: z.int().min(1).meta({ description: 'Subs from the first to the last that show it.' }),
    explanation: z.string().meta({ description: 'What was seen, and what to do.' }),
  })
  .meta({
    id: 'Condition',
    description:
      'What goes on. `cloud`: stars lose light. `frost`: they lose light and widen while the sensor is at its set-point. `moonlight`: the background has risen and stays up, the stars have not lost light. `passing-light`: one sub stands out, the last or the one before it. `brighter-background`, `darker-background`: no star flux was given, so cloud cannot be told from Moon. `guiding`: stars widen fast or far without losing light, and guiding is worse. `focus`: the same while guiding is as good as ever. `wide-stars`: the same where guiding was not measured or leaves it open: seeing, focus or guiding.',
  })

const DoubtfulSubSchema = z
  .strictObject({
    index: z.int().min(0).meta({ description: 'Place in `subs` of the request, from 0.' }),
    cause: z.enum(['cloud', 'frost', 'passing-light', 'clipped-background']),
    informationShare: z.number().min(0).meta({
      description: 'What it is worth against an undisturbed sub of the same length: ratio of the two SNR².',
    }),
    keep: z.boolean().meta({
      description:
        'Whether it belongs into the stack: with equal weights if it raises the stack’s ratio, with optimal weights if it is worth at least a twentieth of an undisturbed one.',
    }),
  })
  .meta({ id: 'DoubtfulSub', description: 'A sub that something came over, judged by what it is worth.' })

const ratio = z.number().min(0).nullable()

const RemainingSchema = z
  .strictObject({
    subCount: z.int().min(0).meta({ description: 'Subs still to be kept.' }),
    integrationSeconds: seconds,
    clockSeconds: seconds.meta({
      description: 'Time on the clock for them at the present rate; at the pace of the plan while the subs tell none.',
    }),
    endsAt: z.iso
      .datetime()
      .nullable()
      .meta({
        examples: ['2026-11-15T02:40:00Z'],
        description: 'When that is; null before the first sub, when there is no time to count from.',
      }),
    setBy: z.enum(['goal', 'end']).meta({ description: 'Whether the goals end the session or `endsAt` does.' }),
  })
  .meta({ id: 'Remaining', description: 'What is still to come.' })

const FilterProgressSchema = z
  .strictObject({
    label: z.string().nullable().meta({ description: 'Label of the filter; null where the request names none.' }),
    subCount: z.int().min(0).meta({ description: 'Subs kept so far.' }),
    integrationSeconds: seconds,
    snr: ratio.meta({ description: 'Signal-to-noise ratio so far, in the terms of the goal; null without a target.' }),
    goalSnr: ratio.meta({ description: 'The goal; null without one.' }),
    ceilingSnr: ratio.meta({ description: 'What no number of subs exceeds; null where calibration sets no ceiling.' }),
    reached: z.boolean().meta({ description: 'Whether the goal is reached.' }),
    subSeconds: subSeconds.meta({ description: 'Length advised for the next sub through this filter.' }),
    subsToGoal: z.int().min(0).nullable().meta({
      description: 'Subs of that length that are missing at the present rate; null without a goal, or out of reach.',
    }),
  })
  .meta({ id: 'FilterProgress', description: 'What one filter has got, and what it misses.' })

export const SessionCheckAnswerSchema = z
  .strictObject({
    action: z.enum(['keep', 'lengthen', 'shorten', 'pause', 'finish']).meta({ description: 'What to do next.' }),
    subSeconds: subSeconds.meta({
      description: 'Length of the next sub; after a pause, of the sub to try again with.',
    }),
    filter: z
      .string()
      .nullable()
      .meta({ description: 'Label of the filter it goes through; null where none is named.' }),
    reason: z.string().meta({ description: 'Why, in one sentence.' }),
    tryAgainAt: z.iso
      .datetime()
      .nullable()
      .meta({
        examples: ['2026-11-14T23:10:00Z'],
        description:
          'End of the pause; null without one, and before the first sub, when there is no time to count from.',
      }),
    gain: z.number().meta({
      description: 'What the best allowed length would gain over the last one: share of information per clock hour.',
    }),
    snr: ratio.meta({ description: 'Signal-to-noise ratio so far through that filter; null without a target.' }),
    weights: z.enum(['optimal', 'equal']).meta({ description: 'The weights that every ratio here goes by.' }),
    filters: z.array(FilterProgressSchema).meta({ description: 'Every filter of the session.' }),
    remaining: RemainingSchema.nullable().meta({
      description: 'null when neither goal nor `endsAt` says when it is over.',
    }),
    conditions: z.array(ConditionSchema).meta({ description: 'What goes on now; empty when all is quiet.' }),
    doubtfulSubs: z
      .array(DoubtfulSubSchema)
      .meta({ description: 'Of the subs listed, the last 200 that something came over.' }),
    present: z
      .strictObject({
        skyElectronsPerPixelSecond: z
          .number()
          .min(0)
          .meta({ description: 'Sky now, through the filter of the next sub.' }),
        skyToPlan: ratio.meta({ description: 'The same over the plan’s sky; null where that is none.' }),
        darkElectronsPerPixelSecond: z.number().min(0).meta({ description: 'Dark current at the last temperature.' }),
        transparency: z.number().min(0).meta({ description: 'Light of the stars now against the reference.' }),
        informationShare: z.number().min(0).meta({
          description:
            'What an hour now is worth against an undisturbed hour of this session. Below 0.05 the advice is to pause.',
        }),
      })
      .meta({ description: 'The sky as it is now, single wild subs left out.' }),
    darks: z
      .strictObject({
        celsius: z.number().meta({ description: 'Temperature of the sensor now.' }),
        match: z.boolean().meta({ description: 'Whether darks of the advised length match.' }),
        matchingSubSeconds: z.array(subSeconds).meta({ description: 'Lengths whose darks match at this temperature.' }),
      })
      .nullable()
      .meta({ description: 'Which darks still match; null where temperature or dark current is unknown.' }),
    ...commonAnswerFields,
  })
  .meta({ id: 'SessionCheckAnswer' })

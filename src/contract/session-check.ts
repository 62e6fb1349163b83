import { z } from 'zod'
import { quantity, subSeconds } from './fields.ts'
import { FilterSchema } from './optics.ts'
import { GoalSchema } from './plan.ts'
import { filterLabel, sensorCelsius, SessionSubSchema, sessionTime } from './session-check-sub.ts'
import { SkySchema, TargetSchema } from './sky.ts'
import { SubExposureRequestSchema } from './sub-exposure.ts'

/** More subs than a night holds of all but the shortest. */
export const MOST_SESSION_SUBS = 2500

const collectedSnr = quantity({
  unit: '',
  minimum: 0,
  maximum: 1e6,
  description:
    'Signal-to-noise ratio, in the terms of the goal, that was collected before the first sub listed. Default 0.',
  example: 6,
})

const SessionFilterSchema = z
  .strictObject({
    label: filterLabel,
    filter: FilterSchema.optional(),
    sky: SkySchema.optional().meta({ description: 'The sky through this filter, where it differs from `sky`.' }),
    target: TargetSchema.optional().meta({
      description: 'The target through this filter, where it differs from `target`.',
    }),
    goal: GoalSchema.optional().meta({ description: 'Default: the `goal` of the request.' }),
    subSeconds: subSeconds.optional().meta({ description: 'Default: that of the plan.', 'x-unit': 's' }),
    subLadderSeconds: z
      .array(subSeconds)
      .min(1)
      .max(100)
      .optional()
      .meta({ description: 'Lengths to choose from through this filter. Default: those of the plan or of the darks.' }),
    collectedSnr: collectedSnr.optional(),
  })
  .meta({ id: 'SessionFilter', description: 'One filter of a session that uses several.' })

export const SessionCheckRequestSchema = SubExposureRequestSchema.extend({
  sky: SkySchema.optional().meta({
    description: 'The sky that the plan expects. Default: that of the first subs with a background.',
  }),
  goal: GoalSchema.optional(),
  collectedSnr: collectedSnr.optional(),
  filters: z.array(SessionFilterSchema).min(1).max(12).optional().meta({
    description:
      'The filters of a session that uses several. What an entry leaves out is taken from the request itself.',
  }),
  subs: z.array(SessionSubSchema).max(MOST_SESSION_SUBS).meta({
    description: 'The subs so far, all or the last ones; an empty list asks for the plan’s own advice.',
  }),
  darks: z
    .array(z.strictObject({ celsius: sensorCelsius.meta({ description: 'Temperature of these darks.' }), subSeconds }))
    .min(1)
    .max(500)
    .optional()
    .meta({ description: 'The darks at hand. Their lengths are the ladder where the plan gives none.' }),
  endsAt: sessionTime('When the session ends at the latest: dawn, or the target behind the trees.').optional(),
  minimumGain: quantity({
    unit: '',
    minimum: 0,
    maximum: 10,
    description: 'Gain of information per clock hour that makes a change of length worth it, as a share. Default 0.03.',
    example: 0.03,
  }).optional(),
  weights: z.enum(['optimal', 'equal']).optional().meta({
    description: 'How the stack weights its subs: each by its own worth (default), or all alike.',
  }),
}).meta({ id: 'SessionCheckRequest' })

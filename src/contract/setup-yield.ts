// What the questions of choosing answer with: how a set-up does on a target from a site.

import { z } from 'zod'
import { subSeconds } from './fields.ts'
import { NOISE_TERMS } from './noise-budget.ts'

const positive = z.number().min(0)
const hours = positive.meta({ 'x-unit': 'h' })
const share = z.number().min(0).max(1)
const NoiseTermSchema = z.enum(NOISE_TERMS)

const noiseSharesFields = Object.fromEntries(NOISE_TERMS.map((term) => [term, share])) as Record<
  (typeof NOISE_TERMS)[number],
  typeof share
>

export const ChannelYieldSchema = z
  .strictObject({
    name: z.string().meta({ description: 'The channel, and for an emission line which.' }),
    plane: z.enum(['mono', 'red', 'green', 'blue']).meta({ description: 'Colour plane of the sensor.' }),
    samplingFraction: share.meta({ description: 'Share of the pixels that sample it.' }),
    subSeconds,
    readMode: z.string().optional().meta({ description: 'The read mode advised, where the camera has several.' }),
    limitedBy: z.string().meta({
      description:
        'What sets the length of the sub; `given` where the plan does, `calibration` where another length than the advised one is sooner at the goal with these calibration frames.',
    }),
    subCount: z.int().min(1).nullable().meta({ description: 'Subs to the goal; null when it is out of reach.' }),
    clockHours: hours.nullable().meta({ description: 'Clock time to the goal; planes of a mosaic share theirs.' }),
    timeShare: share.meta({ description: 'Share of a night’s subs that this channel gets.' }),
    targetElectronsPerPixelSecond: positive,
    skyElectronsPerPixelSecond: positive.meta({
      description: 'The sky, and what else of the target falls on these pixels: its other lines, its continuum.',
    }),
    darkElectronsPerPixelSecond: positive,
    snrInNight: positive.meta({ description: 'In one night of that site, per unit of the goal.' }),
    snrPerArcsec2InNight: positive.nullable().meta({
      description: 'The same of one square arcsecond; null where the scale of the image is unknown.',
    }),
    dominantTerm: NoiseTermSchema.meta({ description: 'The largest share of the noise.' }),
    noiseShares: z
      .strictObject(noiseSharesFields)
      .meta({ id: 'ComparedNoiseShares', description: 'Shares of the variance of the stack; they add up to 1.' }),
  })
  .meta({ id: 'ChannelYield', description: 'What one channel gathers of the target in one colour plane.' })

/** How a set-up does on one target from one site. */
export const yieldFields = {
  reachable: z.boolean().meta({ description: 'Whether the goal is reached in every channel.' }),
  reason: z.string().nullable().meta({ description: 'Why it is not; null when it is.' }),
  totalHours: hours.nullable().meta({
    description:
      'Hours to the goal with focusing, filter changes and travel; null when out of reach. Like all hours here they count a fraction of a sub as such, so that no set-up wins by the luck of whole ones.',
  }),
  clockHours: hours.nullable().meta({ description: 'The same without travel.' }),
  integrationHours: hours.nullable().meta({ description: 'Exposure in kept subs.' }),
  nights: z.int().min(1).nullable().meta({ description: 'Nights it takes.' }),
  limitingChannel: z.string().nullable().meta({ description: 'The channel that takes longest.' }),
  limitingNoise: NoiseTermSchema.nullable().meta({ description: 'The largest noise in that channel.' }),
  snrInNight: positive.nullable().meta({
    description: 'Smallest ratio of a channel after one night, over its share of the goal; per unit of the goal.',
  }),
  snrPerArcsec2InNight: positive.nullable().meta({
    description: 'Of one square arcsecond after one night in the channel that has least; null without a scale.',
  }),
  luminanceSnrPerArcsec2InNight: positive.nullable().meta({
    description: 'All continuum channels and planes added up at best weights; null without a continuum or a scale.',
  }),
  dataGigabytes: positive.nullable().meta({
    description: 'Raw frames to the goal, uncompressed; null when the size of the frame is unknown.',
    'x-unit': 'GB',
  }),
  channels: z.array(ChannelYieldSchema),
}

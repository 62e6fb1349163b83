import { z } from 'zod'

const rate = z.number().min(0)

export const RatesSchema = z
  .strictObject({
    targetElectronsPerPixelSecond: rate.meta({ description: 'Extended target, electrons per second on one pixel.' }),
    skyElectronsPerPixelSecond: rate.meta({ description: 'Sky, electrons per second on one pixel.' }),
    darkElectronsPerPixelSecond: rate.meta({ description: 'Dark current, electrons per second on one pixel.' }),
  })
  .meta({ id: 'Rates', description: 'What arrives on one pixel of the frame.' })

export const ChannelSchema = z
  .strictObject({
    channel: z.enum(['mono', 'red', 'green', 'blue']).meta({ description: 'Colour plane of the sensor.' }),
    samplingFraction: z.number().min(0).max(1).meta({ description: 'Share of the pixels that sample it, 0 to 1.' }),
    rates: RatesSchema,
    starElectronsPerSecond: rate.nullable().meta({ description: 'All electrons of the star; null without one.' }),
  })
  .meta({ id: 'Channel', description: 'One colour plane of the frame.' })

/** What answers say about the electrons they were reckoned from. */
export const ratesFields = {
  channel: z.enum(['mono', 'red', 'green', 'blue']).meta({
    description:
      'The colour plane the answer goes by: of those that see the target, the one with the least signal for its noise.',
  }),
  channels: z.array(ChannelSchema).meta({ description: 'Every colour plane of the frame.' }),
  pixelScaleArcsec: z
    .number()
    .min(0)
    .nullable()
    .meta({ description: 'Side of one pixel on the sky; null without optics.' }),
}

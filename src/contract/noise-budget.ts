import { z } from 'zod'
import { commonAnswerFields } from './answer.ts'
import { subSeconds } from './fields.ts'
import { NEBULA, GARDEN, H_ALPHA_7NM, MEADOW, MEMBERS } from './heron-ridge.ts'
import { ratesFields } from './rates.ts'
import { SubExposureRequestSchema } from './sub-exposure.ts'

export const NoiseBudgetRequestSchema = SubExposureRequestSchema.extend({}).meta({ id: 'NoiseBudgetRequest' })

const share = z.number().min(0).max(1)

export const NOISE_TERMS = ['target', 'sky', 'dark', 'read', 'quantization', 'calibration'] as const

const SharesSchema = z
  .strictObject({
    target: share.meta({ description: 'Photon noise of the target itself.' }),
    sky: share.meta({ description: 'Photon noise of the sky.' }),
    dark: share.meta({ description: 'Shot noise of the dark current.' }),
    read: share.meta({ description: 'Read noise.' }),
    quantization: share.meta({ description: 'Rounding to whole ADU, where the read noise was given without it.' }),
    calibration: share.meta({ description: 'What the master frames leave behind.' }),
  } satisfies Record<(typeof NOISE_TERMS)[number], unknown>)
  .meta({ id: 'NoiseShares', description: 'Shares of the variance; they add up to 1.' })

const budgetFields = {
  signalElectrons: z.number().min(0).meta({ description: 'Electrons of the target.' }),
  noiseElectrons: z.number().min(0).meta({ description: 'Standard deviation, electrons.' }),
  snr: z.number().min(0).meta({ description: 'Signal over noise.' }),
  shares: SharesSchema,
}

const BudgetSchema = z
  .strictObject(budgetFields)
  .meta({ id: 'NoiseBudget', description: 'Signal, noise, and where the noise comes from.' })

export const NoiseBudgetAnswerSchema = z
  .strictObject({
    perSub: BudgetSchema.meta({ description: 'One pixel of one sub, before calibration.' }),
    stack: z
      .strictObject({
        ...budgetFields,
        snrPerArcsec2: z.number().min(0).nullable().meta({
          description: 'Signal-to-noise ratio of one square arcsecond; null without optics.',
        }),
      })
      .meta({ description: 'One pixel of the sum of all subs, calibrated.' }),
    star: z
      .strictObject({
        apertureRadiusArcsec: z.number().min(0).meta({ description: 'Radius the star is measured in.' }),
        aperturePixels: z.number().min(0).meta({ description: 'Pixels of the plane in the aperture.' }),
        capturedFraction: share.meta({
          description:
            'Share of the star’s electrons that the pixels of the plane in the aperture gather, averaged over where the star falls on its pixel.',
        }),
        peakPixelFraction: share.meta({ description: 'Share on the brightest pixel of a star centred on it.' }),
        peakElectrons: z.number().min(0).meta({
          description: 'Electrons on that pixel in one sub, sky and dark current included.',
        }),
        clips: z
          .boolean()
          .nullable()
          .meta({ description: 'Whether that pixel overflows; null when the well is unknown.' }),
        perSub: BudgetSchema.meta({ description: 'The star in one sub, before calibration.' }),
        stack: BudgetSchema.meta({ description: 'The star in the sum of all subs.' }),
      })
      .optional()
      .meta({ description: 'The star, where the target has one.' }),
    dominantTerm: z.enum(NOISE_TERMS).meta({ description: 'The largest share of the noise of the stack.' }),
    subSeconds,
    subCount: z.int().min(1).meta({ description: 'Subs in the stack.' }),
    ...ratesFields,
    ...commonAnswerFields,
  })
  .meta({ id: 'NoiseBudgetAnswer' })

type Examples = Record<
  string,
  { summary: string; description: string; request: z.input<typeof NoiseBudgetRequestSchema> }
>

export const noiseBudgetExamples: Examples = {
  'garden-nebula': {
    summary: 'Sixty subs of a nebula from the garden',
    description: 'Twenty darks and no dither: the calibration takes its share of the noise.',
    request: {
      camera: MEMBERS['cooled-mono'].camera,
      optics: MEMBERS['cooled-mono'].optics,
      filter: H_ALPHA_7NM,
      sky: GARDEN,
      target: NEBULA,
      plan: { subSeconds: 240, subCount: 60, calibration: { darkFrames: 20, flatFrames: 25, flatElectrons: 9000 } },
    },
  },
  'meadow-star': {
    summary: 'A star on the meadow with an old CCD',
    description:
      'The aperture is the one of best signal-to-noise ratio; the background comes from 400 pixels around it.',
    request: {
      camera: MEMBERS['old-ccd'].camera,
      optics: MEMBERS['old-ccd'].optics,
      filter: { band: 'green' },
      sky: MEADOW,
      target: { starMag: 17 },
      plan: { subSeconds: 300, subCount: 12, fwhmArcsec: 3.5, moffatBeta: 3, backgroundPixels: 400 },
    },
  },
  'measured-electrons': {
    summary: 'Everything measured in electrons, with uncertainties',
    description: 'The answer says how sure it is, and which input to measure better.',
    request: {
      camera: { readNoiseElectrons: { value: 1.6, standardUncertainty: 0.15 } },
      sky: { electronsPerPixelSecond: { value: 2.4, standardUncertainty: 0.05 } },
      target: { electronsPerPixelSecond: { value: 0.4, standardUncertainty: 0.1 } },
      plan: { subSeconds: 180, subCount: 40 },
    },
  },
}

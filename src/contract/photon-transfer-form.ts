import { z } from 'zod'
import { sensorCelsius } from './dark-current.ts'
import { count, quantity } from './fields.ts'
import { BAYER_PATTERN_NAMES } from './frames.ts'

/** What may stand in a form beside the frames; a field counts for the files that come after it. */
export const PhotonTransferFieldsSchema = z
  .strictObject({
    exposureSeconds: quantity({
      unit: 's',
      minimum: 0,
      maximum: 86400,
      description: 'Exposure of the frames after it whose header has no `EXPTIME`. May be given again before others.',
      example: 1.5,
    }).optional(),
    bayerPattern: z
      .enum(BAYER_PATTERN_NAMES)
      .optional()
      .meta({ description: 'Colours of the first two pixels, then of the second row’s; goes before the header’s.' }),
    saturationAdu: quantity({
      unit: 'adu',
      minimum: 0,
      maximum: 1e9,
      description:
        'Level from which a pixel counts as clipped. Without it: where pixels pile up at the highest code of all flats, else saturation shows in the fall of the noise.',
      example: 65535,
    }).optional(),
    darksCelsius: sensorCelsius.optional().meta({
      description: 'Sensor temperature of the darks, where their headers lack it.',
      'x-unit': 'deg_C',
    }),
    bitDepth: count({
      minimum: 4,
      maximum: 32,
      description: 'Bits of the converter; goes into `camera` as it is.',
      example: 16,
    }).optional(),
  })
  .meta({ id: 'PhotonTransferFields', description: 'What the headers of the frames do not tell.', 'x-query': true })

export type PhotonTransferFields = z.infer<typeof PhotonTransferFieldsSchema>

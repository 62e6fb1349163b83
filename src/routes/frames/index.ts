import { FrameParametersSchema, FramesAnswerSchema } from '../../contract/frames.ts'
import { FitsError } from '../../fits/index.ts'
import { DEFAULT_MAXIMUM_BYTES, analyzeFrame } from '../../frames/index.ts'
import { upload } from '../endpoint.ts'
import { answerOf } from './answer.ts'
import { fitsProblem } from './problem.ts'

export const frames = upload({
  id: 'frames',
  path: '/v1/frames',
  tag: 'Detector',
  summary: 'What is on this frame?',
  description: `The body is one FITS file as the camera wrote it: 8, 16 or 32-bit integers or 32 or 64-bit floating point, mono, with a Bayer pattern, or three colour planes; uncompressed, or with \`Content-Encoding: gzip\`; up to 128 MiB, also when inflated. What the header lacks goes into the query. The answer has background and noise of every colour plane, the gradient, clipped and hot pixels, the stars, and the \`sky\` that the other questions take. Nothing is kept.

To try it here, choose a file. From a shell:

    curl --data-binary @light.fits -H 'Content-Type: application/fits' 'http://localhost:8080/v1/frames?offsetAdu=500&electronsPerAdu=0.78'

A frame of a colour camera whose header lacks pattern and exposure, compressed on the way:

    gzip -c light.fits | curl --data-binary @- -H 'Content-Type: application/fits' -H 'Content-Encoding: gzip' 'http://localhost:8080/v1/frames?bayerPattern=RGGB&subSeconds=120'

An upload must not pause for more than ten seconds, and after the first ten bring 128 KiB a second on average. When as many frames are being measured as there is room for, the answer is 503 with \`Retry-After\`.`,
  mediaTypes: ['application/fits', 'image/fits'],
  maximumBytes: DEFAULT_MAXIMUM_BYTES,
  parameters: FrameParametersSchema,
  answer: FramesAnswerSchema,
  handle: async (body, parameters, { frames: pool, encoding, signal }) => {
    try {
      const { bayerPattern, saturationAdu } = parameters
      return answerOf(await analyzeFrame(body, { pool, encoding, signal, bayerPattern, saturationAdu }), parameters)
    } catch (error) {
      throw error instanceof FitsError ? fitsProblem(error) : error
    }
  },
})

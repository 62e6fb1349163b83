// The question with the frames themselves in place of their statistics.

import { PhotonTransferFieldsSchema, type PhotonTransferFields } from '../../contract/photon-transfer-form.ts'
import type { PhotonTransferAnswer } from '../../contract/photon-transfer.ts'
import { pointerStep } from '../../contract/pointer.ts'
import { ProblemError } from '../../contract/problem.ts'
import { unknownPatternCaution } from '../frames/known.ts'
import type { Form, FormPart, UploadContext } from '../endpoint.ts'
import { measuredLadder } from './measured.ts'
import { FRAME_KINDS, Pairing, type FilePart } from './pairing.ts'
import type { MeasuredLadder, Request } from './request.ts'

const MOST_FILES = 64
const MOST_BYTES = 2 ** 31

const FRAMES = 'FITS files, in pairs: two of one exposure right after each other.'

/** @param answer  answers the question in its JSON form */
export function formOf(
  answer: (request: Request) => PhotonTransferAnswer,
): Form<PhotonTransferFields, PhotonTransferAnswer> {
  return {
    description: `**From the frames themselves:** a \`multipart/form-data\` body with FITS files as parts named \`flat\`, \`bias\` and \`dark\`, up to ${MOST_FILES} of them and 2 GiB, 128 MiB each. Two of one kind and one exposure right after each other are a pair, so both flats of one level go before both of the next; one without a partner is left out and named. A level takes the darks as long as its flats where there are any, else the bias frames. The middle of the frame is measured, half of its width and height; of a Bayer pattern the green pixels. What light that changes between two flats adds to their noise is taken off, and told. \`measured\` in the answer holds the statistics, for the JSON form.

    curl -F flat=@f1.fits -F flat=@f2.fits -F bias=@b1.fits -F bias=@b2.fits 'http://localhost:8080/v1/photon-transfer'

Fields count for the files after them, so they go first.`,
    files: {
      flat: `Flats: ${FRAMES}`,
      bias: `Bias frames: ${FRAMES}`,
      dark: `Darks: ${FRAMES} Two exposures, or one and bias frames, give the dark current.`,
    },
    fields: PhotonTransferFieldsSchema,
    maximumBytes: MOST_BYTES,
    maximumFiles: MOST_FILES,
    handle: (parts, readFields, context) => answerForm(parts, readFields, context, answer),
  }
}

async function answerForm(
  parts: AsyncIterable<FormPart>,
  readFields: (values: Readonly<Record<string, string>>) => PhotonTransferFields,
  { frames, signal }: UploadContext,
  answer: (request: Request) => PhotonTransferAnswer,
): Promise<PhotonTransferAnswer> {
  const slot = frames.reserve()
  try {
    const pairing = new Pairing(slot, signal)
    const values: Record<string, string> = {}
    let fields = readFields(values)
    for await (const part of parts) {
      if (part.kind === 'file') {
        await pairing.take(requireKind(part), fields)
        continue
      }
      values[part.name] = part.value
      fields = readFields(values)
    }
    pairing.end()
    const ladder = measuredLadder(pairing.pairs, fields)
    return completed(pointingAtParts(ladder, answer), ladder, pairing, fields)
  } finally {
    slot.release()
  }
}

function requireKind(part: Extract<FormPart, { kind: 'file' }>): FilePart {
  const kind = FRAME_KINDS.find((known) => known === part.name)
  if (kind) return { ...part, name: kind }
  const message = `a file named \`${part.name.slice(0, 40)}\`; allowed: ${FRAME_KINDS.join(', ')}`
  throw new ProblemError('invalid-request', message, [{ pointer: pointerStep(part.name.slice(0, 40)), message }])
}

/** What the JSON form says of a level or a dark is said of the part that it was measured on. */
function pointingAtParts(
  { request, levelPointers, darkPointers }: MeasuredLadder,
  answer: (request: Request) => PhotonTransferAnswer,
): PhotonTransferAnswer {
  try {
    return answer(request)
  } catch (error) {
    if (!(error instanceof ProblemError)) throw error
    const errors = error.errors.map(({ pointer, message }) => {
      const [, list, index] = pointer.split('/')
      const pointers = list === 'levels' ? levelPointers : darkPointers
      return { pointer: pointers[Number(index)] ?? (list === 'levels' ? '/flat' : '/dark'), message }
    })
    throw new ProblemError(error.kind, error.message, errors)
  }
}

function completed(
  answer: PhotonTransferAnswer,
  { request, drifts }: MeasuredLadder,
  { model, leftOut }: Pairing,
  fields: PhotonTransferFields,
): PhotonTransferAnswer {
  const { levels, darks, darksCelsius } = request
  if (model) {
    const { widthPx, heightPx } = model.region
    const which = model.bayerPattern === null ? '' : ', the green ones of the Bayer pattern'
    answer.explanation.push(
      `Measured on the ${widthPx} x ${heightPx} pixels in the middle of each frame${which}; PRNU holds what the light was uneven there.`,
    )
  }
  const unknownPattern = model?.bayerPattern === null ? model.image.hints.unknownPattern : null
  if (unknownPattern !== null) answer.cautions.push(unknownPatternCaution(unknownPattern))
  if (drifts.length > 0) {
    answer.cautions.push(
      `The light changed from one flat of a pair to the other (${drifts.join(', ')}). What that adds to their noise was taken off; better let the lamp settle.`,
    )
  }
  if (leftOut.length > 0)
    answer.explanation.push(`Left out, for want of a partner right before or after: ${leftOut.join(', ')}.`)
  if (darksCelsius !== undefined && fields.darksCelsius === undefined) {
    answer.assumptions.push({ pointer: '/darksCelsius', value: darksCelsius, reason: 'the headers of the darks' })
  }
  if (fields.saturationAdu === undefined) {
    answer.assumptions.push({
      pointer: '/saturationAdu',
      value: null,
      reason: 'not given: pixels that pile up at the highest code count as clipped; without any, the noise tells',
    })
  }
  return { ...answer, measured: { levels, ...(darks && { darks }) } }
}

// The parts of a form as they stream in, held to its limits.

import type { FastifyRequest } from 'fastify'
import { ProblemError } from '../contract/problem.ts'
import { pointerStep } from '../contract/pointer.ts'
import { DEFAULT_MAXIMUM_BYTES } from '../frames/index.ts'
import { invalidRequest } from '../plugins/invalid-request.ts'
import type { Form, FormPart } from '../routes/endpoint.ts'

const MOST_FIELDS = 64
const LONGEST_FIELD_BYTES = 100
const LONGEST_NAME_BYTES = 100

/** The reader of frames counts bytes itself; one more than it takes must reach it. */
export function limitsOf({ maximumFiles }: Form) {
  return {
    files: maximumFiles,
    fields: MOST_FIELDS,
    parts: maximumFiles + MOST_FIELDS,
    fieldSize: LONGEST_FIELD_BYTES,
    fieldNameSize: LONGEST_NAME_BYTES,
    fileSize: DEFAULT_MAXIMUM_BYTES + 1,
    headerPairs: 20,
  }
}

export async function* partsOf(
  request: FastifyRequest,
  { maximumBytes, maximumFiles }: Form,
  goOn: () => void,
): AsyncGenerator<FormPart> {
  goOn()
  const room = { bytes: maximumBytes }
  try {
    for await (const part of request.parts()) {
      if (part.type === 'field') {
        yield { kind: 'field', name: part.fieldname, value: fieldValue(part) }
      } else {
        yield {
          kind: 'file',
          name: part.fieldname,
          filename: part.filename,
          body: counted(part.file, room, maximumBytes),
        }
      }
    }
  } catch (error) {
    throw formProblem(error, maximumFiles)
  }
}

function fieldValue({
  fieldname,
  value,
  valueTruncated,
}: {
  fieldname: string
  value: unknown
  valueTruncated: boolean
}) {
  if (typeof value === 'string' && !valueTruncated) return value
  const message = `must be text of at most ${LONGEST_FIELD_BYTES} bytes`
  throw invalidRequest([{ pointer: pointerStep(fieldname), message }])
}

async function* counted(
  file: AsyncIterable<Uint8Array>,
  room: { bytes: number },
  maximumBytes: number,
): AsyncGenerator<Uint8Array> {
  try {
    for await (const chunk of file) {
      room.bytes -= chunk.length
      if (room.bytes < 0) throw new ProblemError('body-too-large', `The files may have ${maximumBytes} bytes together.`)
      yield chunk
    }
  } catch (error) {
    throw formProblem(error, 0)
  }
}

function formProblem(error: unknown, maximumFiles: number): unknown {
  if (error instanceof ProblemError) return error
  const code = error instanceof Error && 'code' in error ? String(error.code) : ''
  if (/^FST_(?:PARTS|FILES|FIELDS)_LIMIT$/.test(code)) {
    return new ProblemError('body-too-large', `A form may have ${maximumFiles} files and ${MOST_FIELDS} fields.`)
  }
  return new ProblemError(
    'unreadable-request',
    'The form breaks off, or is not as multipart/form-data (RFC 7578) has it.',
  )
}

// Questions that may be asked with files: a multipart form, read as it streams in, beside the JSON body of the same path.

import multipart from '@fastify/multipart'
import type { FastifyInstance, FastifyReply, FastifyRequest, HTTPMethods, RouteHandlerMethod } from 'fastify'
import { nameOf } from '../contract/json-schemas.ts'
import type { JsonSchema } from '../contract/explain/json-schema.ts'
import { invalidRequest } from '../plugins/invalid-request.ts'
import { answersJson, readsJson } from '../plugins/negotiation.ts'
import { nearest } from '../contract/nearest.ts'
import { refuseParameters } from '../plugins/link.ts'
import { pointerStep } from '../contract/pointer.ts'
import { asksFirst, mediaTypeOf, readParameters, readsUpload } from '../plugins/upload-head.ts'
import { watching } from '../plugins/upload-watch.ts'
import type { Form } from '../routes/endpoint.ts'
import { streaming, withoutExamples, type UploadOptions } from './uploads.ts'
import { limitsOf, partsOf } from './form-parts.ts'

const FORM = 'multipart/form-data'
/** The route of the question in its JSON form. */
export interface JsonRoute {
  method: HTTPMethods
  url: string
  bodyLimit: number
  schema: { body: object; description: string }
  handler: RouteHandlerMethod
}

/** `POST path` with JSON or a form. */
export async function addFormRoute(
  app: FastifyInstance,
  json: JsonRoute,
  form: Form,
  options: UploadOptions,
): Promise<void> {
  const name = nameOf(form.fields)
  const fields = options.check.schemas[name] ?? {}
  const errorsOf = options.check.errorsOf(name)
  const readFields = (values: Readonly<Record<string, string>>): unknown => {
    refuseUnknown(values, Object.keys(fields.properties ?? {}), Object.keys(form.files))
    return readParameters(values, fields, errorsOf)
  }
  await app.register(async (scope) => {
    await scope.register(multipart, { throwFileSizeLimit: false, limits: limitsOf(form) })
    scope.route({
      ...json,
      config: { streams: true },
      onRequest: headHook(json, form, options),
      schema: { ...json.schema, ...described(json, form, fields) },
      handler(request, reply) {
        if (mediaTypeOf(request) !== FORM) return json.handler.call(this, request, reply)
        refuseParameters(request.query)
        return streaming(request, reply, options.frames, (_body, context, goOn) =>
          form.handle(partsOf(request, form, goOn), readFields, context),
        )
      },
    })
  })
}

function described(json: JsonRoute, form: Form, fields: JsonSchema) {
  const files = Object.entries(form.files).map(([file, description]) => [
    file,
    { type: 'array', description, items: { type: 'string', format: 'binary' } },
  ])
  const properties = { ...withoutExamples(fields.properties ?? {}), ...(Object.fromEntries(files) as object) }
  return {
    description: `${json.schema.description}\n\n${form.description}`,
    body: {
      content: { 'application/json': { schema: json.schema.body }, [FORM]: { schema: { type: 'object', properties } } },
    },
  }
}

/** The hooks of an upload for a form, else those of a JSON body. */
function headHook({ bodyLimit }: JsonRoute, form: Form, { pace }: UploadOptions) {
  const watch = watching(form.maximumBytes, pace)
  const readsForm = readsUpload({ mediaTypes: [FORM], maximumBytes: form.maximumBytes }, [])
  function chosen(
    this: FastifyInstance,
    request: FastifyRequest,
    reply: FastifyReply,
    next: (error?: Error) => void,
  ): void {
    if (mediaTypeOf(request) === FORM) {
      watch(request, reply, () => {
        readsForm.call(this, request, reply, next)
      })
      return
    }
    readsJson.call(this, request, reply, (error) => {
      const isTooLong = Number(request.headers['content-length']) > bodyLimit
      if (!error && !isTooLong && asksFirst(request)) reply.raw.writeContinue()
      next(error)
    })
  }
  return [answersJson, chosen]
}

function refuseUnknown(
  values: Readonly<Record<string, string>>,
  known: readonly string[],
  files: readonly string[],
): void {
  const unknown = Object.keys(values).filter((name) => !known.includes(name))
  if (unknown.length === 0) return
  throw invalidRequest(
    unknown.map((name) => {
      const close = nearest(name, [...known, ...files])
      const hint = files.includes(name)
        ? 'must be a file'
        : close === undefined
          ? 'unknown field'
          : `unknown field; did you mean \`${close}\`?`
      return { pointer: pointerStep(name), message: hint }
    }),
  )
}

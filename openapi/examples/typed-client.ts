// A typed client: the compiler knows every path, field, unit and answer, and what a refusal looks like.
//
//   npm install openapi-fetch && npm install --save-dev openapi-typescript typescript@5
//   npx openapi-typescript http://127.0.0.1:8080/openapi.json --output photon-ledger.d.ts
//
// Both are made for any OpenAPI document; photon-ledger.d.ts holds nothing but types.

import createClient from 'openapi-fetch'
import type { components, paths } from './photon-ledger.d.ts'

type Schemas = components['schemas']

const client = createClient<paths>({ baseUrl: process.env.PHOTON_LEDGER ?? 'http://127.0.0.1:8080' })
const say = (text: string) => process.stdout.write(`${text}\n`)

/** A problem in words: every bad field by the place where it stands in the question. */
function inWords({ status, detail, errors = [] }: Schemas['Problem']): string {
  return [`${status} ${detail}`, ...errors.map(({ pointer, message }) => `  ${pointer}: ${message}`)].join('\n')
}

// Written with their types, so that a misspelt field is found here and not by the service.
const camera: Schemas['Camera'] = {
  like: 'cooled-mono-cmos',
  readNoiseElectrons: { value: 1.6, standardUncertainty: 0.1 },
}
const optics: Schemas['Optics'] = { apertureMm: 80, focalLengthMm: 480 }
const sky: Schemas['Sky'] = { bortleClass: 5 }

// A question, whose answer is known by its type.
const advice = await client.POST('/v1/sub-exposure', { body: { camera, optics, sky } })
if (advice.error !== undefined) throw new Error(inWords(advice.error))
const { subSeconds, subCount } = advice.data.recommended
say(`advice: ${subCount} subs of ${subSeconds} s, limited by ${advice.data.limitedBy}`)

// What one answer says goes into the next question.
const budget = await client.POST('/v1/noise-budget', {
  body: { camera, optics, sky, target: { surfaceMagPerArcsec2: 22.5 }, plan: { subSeconds, subCount } },
})
if (budget.error !== undefined) throw new Error(inWords(budget.error))
say(`budget: ${budget.data.dominantTerm} makes most of the noise`)

// Reference data.
const bands = await client.GET('/v1/reference/bands')
if (bands.error !== undefined) throw new Error(inWords(bands.error))
say(`bands: ${bands.data.bands.length}`)

// A refusal: an object of its own type, not an exception.
const refused = await client.POST('/v1/sub-exposure', { body: { camera: { readNoiseElectrons: -1 }, sky } })
if (refused.error === undefined) throw new Error('A negative read noise was answered.')
say(`refusal: ${inWords(refused.error)}`)

// Many questions in one call, a line each.
const lines: Schemas['BatchLine'][] = [4, 5, 6].map((bortleClass) => ({
  path: '/v1/sub-exposure',
  request: { camera, optics, sky: { bortleClass } } satisfies Schemas['SubExposureRequest'],
  id: `class ${bortleClass}`,
}))
const batch = await client.POST('/v1/batch', {
  body: lines.map((line) => `${JSON.stringify(line)}\n`).join(''),
  bodySerializer: (body) => body,
  headers: { 'content-type': 'application/x-ndjson' },
  parseAs: 'text',
})
if (batch.error !== undefined) throw new Error(inWords(batch.error))
for (const text of batch.data.trimEnd().split('\n')) {
  const line = JSON.parse(text) as Schemas['BatchAnswerLine']
  say(`${line.id ?? line.line}: ${'answer' in line ? 'answered' : inWords(line.problem)}`)
}

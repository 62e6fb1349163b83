/** What the OpenAPI document says about the service as a whole. */
export const OPENAPI_INFO = {
  title: 'Photon Ledger',
  summary: 'The signal-to-noise accounting of deep-sky imaging.',
  description: `Ask how long each exposure should be, where the noise comes from, or how long until a wanted signal-to-noise ratio.

**A question** is a \`POST\` with a JSON object. Every name carries its unit (\`focalLengthMm\`, \`subSeconds\`); shares go from 0 to 1. Leave out what you do not know: the answer lists every value that was filled in under \`assumptions\`. Unknown fields are refused, so a typing error cannot hide.

**A measured number** may be given with its standard uncertainty, \`{"value": 1.5, "standardUncertainty": 0.1}\` in place of \`1.5\`; the answer then says how uncertain it is and which input is to blame.

**A link**: every question can also be asked by \`GET <path>?request=<URL-encoded JSON>\`. It answers the same bytes, may be cached (\`ETag\`, \`Cache-Control\`) and can be shared. Request line and header fields together may have 16384 bytes; longer questions go by \`POST\`, whose body may have 65536 bytes unless said otherwise.

**Problems** are \`application/problem+json\` (RFC 9457). \`errors\` names every bad field by JSON Pointer, with what was given and what is allowed. \`type\` leads to an explanation. 400: cannot be read or breaks the contract; 422: can be read, but nothing answers it.

Nothing is stored, no key is needed. Each client may ask so many times a minute: see the \`RateLimit\` header fields.`,
  contact: { name: 'Whoever runs this instance' },
  license: { name: 'Apache-2.0', identifier: 'Apache-2.0' },
}

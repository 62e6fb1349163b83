// Every refusal of the engine, in one table. The engine throws; whoever calls it decides how to say it over the wire.

/** The codes an {@link EngineError} can carry, each with what it means. */
export const ENGINE_ERRORS = {
  'out-of-range': 'A number lies outside the range in which the model or the physics makes sense.',
  'no-solution': 'The question can be read, but no value answers it.',
  'goal-above-ceiling': 'The wanted signal-to-noise ratio lies above the floor that calibration leaves.',
  'no-signal': 'The target puts no electrons on the pixels that are asked about.',
  'saturates-at-once': 'The pixel is full before the shortest exposure ends.',
  'not-enough-data': 'Too few measurements, or too little spread in them, to determine what is asked.',
} as const

export type EngineErrorCode = keyof typeof ENGINE_ERRORS

export interface EngineErrorDetails {
  /** Name of the engine input at fault, as in the function's signature. */
  field?: string
  given?: number | string
  allowed?: string
  /** Numbers that explain the refusal, such as the highest signal-to-noise ratio there is. */
  facts?: Record<string, number>
}

/** A question the engine cannot answer, with the reason in words and as a stable code. */
export class EngineError extends Error {
  override readonly name = 'EngineError'
  readonly code: EngineErrorCode
  readonly details: EngineErrorDetails

  constructor(code: EngineErrorCode, message: string, details: EngineErrorDetails = {}) {
    super(message)
    this.code = code
    this.details = details
  }
}

/** Throws `out-of-range` unless `value` is finite and within [minimum, maximum]. */
export function requireInRange(field: string, value: number, minimum: number, maximum = Number.MAX_VALUE): void {
  if (value >= minimum && value <= maximum) return
  const allowed =
    maximum === Number.MAX_VALUE ? `at least ${String(minimum)}` : `${String(minimum)} to ${String(maximum)}`
  throw new EngineError('out-of-range', `${field} is ${String(value)}; allowed: ${allowed}.`, {
    field,
    given: value,
    allowed,
  })
}

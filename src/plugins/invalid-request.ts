import { ProblemError, type FieldError } from '../contract/problem.ts'

/** The problem of a request that breaks its schema. */
export function invalidRequest(errors: readonly FieldError[]): ProblemError {
  const [first] = errors
  const place = first === undefined || first.pointer === '' ? 'The request' : first.pointer
  const more = errors.length > 1 ? ` (and ${errors.length - 1} more, see errors)` : ''
  return new ProblemError('invalid-request', `${place}: ${first?.message ?? 'not allowed'}${more}`, errors)
}

// What a body that cannot be measured comes to.

import { ProblemError, type ProblemKind } from '../../contract/problem.ts'
import type { FitsError, FitsErrorKind } from '../../fits/index.ts'

const KINDS: Readonly<Record<FitsErrorKind, ProblemKind>> = {
  unreadable: 'unreadable-request',
  unsupported: 'no-answer',
  'too-large': 'body-too-large',
}

/** @param pointer  to the part of the request that the body is; empty for the whole body */
export function fitsProblem({ kind, message, details }: FitsError, pointer = ''): ProblemError {
  const { allowed } = details
  return new ProblemError(KINDS[kind], message, [
    { pointer, message: allowed === undefined ? message : `${message} Allowed: ${allowed}.` },
  ])
}

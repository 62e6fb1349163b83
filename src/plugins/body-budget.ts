// Bounds what the bodies that are under way hold together, however many clients send at once.

import { ProblemError } from '../contract/problem.ts'

export const RETRY_SECONDS = 5

export interface BodyMeter {
  /** @throws {ProblemError} `body-too-large`, or `overloaded` when others leave no room */
  count: (bytes: number) => void
  close: () => void
}

export class BodyBudget {
  readonly #mostBytes: number
  #held = 0

  constructor(mostBytes: number) {
    this.#mostBytes = mostBytes
  }

  /** For one body, until it is answered. */
  open(bodyLimit: number): BodyMeter {
    let own = 0
    return {
      count: (bytes) => {
        own += bytes
        this.#held += bytes
        if (own > bodyLimit) throw new ProblemError('body-too-large', `The body may have ${bodyLimit} bytes.`)
        if (this.#held > this.#mostBytes) {
          throw new ProblemError('overloaded', `Too much is coming in at once; ask again in ${RETRY_SECONDS} seconds.`)
        }
      },
      close: () => {
        this.#held -= own
        own = 0
      },
    }
  }
}

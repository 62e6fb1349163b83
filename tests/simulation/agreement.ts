import type { Test } from 'tap'
import { near } from '../support/near.ts'
import type { Measured } from './extended.ts'

/** How far the service may be from a simulation. */
export const TOLERANCE = 0.01

/** Passes when signal, noise and their ratio are those of the simulated pictures. */
export function agree(t: Test, answer: Measured, simulated: Measured, what: string): void {
  for (const quantity of ['signalElectrons', 'noiseElectrons', 'snr'] as const) {
    near(t, answer[quantity], simulated[quantity], TOLERANCE, `${what}: ${quantity}`)
  }
}

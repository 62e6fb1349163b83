// Subs for the tests of a session: quiet ones, but for what a test changes.

import type { SubRecord } from '../../../src/engine/index.ts'

/** A session of so many subs, two minutes each, one every 126 s; `change` says what differs in which. */
export function subs(count: number, change: (index: number) => Partial<SubRecord> = () => ({})): SubRecord[] {
  return Array.from({ length: count }, (_, index) => ({
    startSeconds: index * 126,
    subSeconds: 120,
    filter: 0,
    // One part in a thousand to and fro, so that nothing is exactly level.
    electronsPerSecond: 1 + 0.001 * (index % 2),
    clipped: false,
    sensorCelsius: -10,
    starFlux: 1 + 0.002 * (index % 3),
    fwhm: 1 + 0.002 * (index % 2),
    guidingErrorArcsec: 0.6,
    accepted: true,
    ...change(index),
  }))
}

// Subs for the tests of a session: quiet ones, but for what a test changes.

import type { SessionSubs } from '../../../src/engine/index.ts'

/** One sub, its truths as such. */
export interface Sub extends Record<Exclude<keyof SessionSubs, 'index' | 'isClipped' | 'isAccepted'>, number> {
  isClipped: boolean
  isAccepted: boolean
}

/** A session of so many subs, two minutes each, one every 126 s; `change` says what differs in which. */
export function subs(count: number, change: (index: number) => Partial<Sub> = () => ({})): Sub[] {
  return Array.from({ length: count }, (_, index) => ({
    startSeconds: index * 126,
    subSeconds: 120,
    filter: 0,
    // One part in a thousand to and fro, so that nothing is exactly level.
    electronsPerSecond: 1 + 0.001 * (index % 2),
    isClipped: false,
    sensorCelsius: -10,
    starFlux: 1 + 0.002 * (index % 3),
    fwhm: 1 + 0.002 * (index % 2),
    guidingErrorArcsec: 0.6,
    isAccepted: true,
    ...change(index),
  }))
}

/** A list of subs as columns. */
export function columnsOf(list: readonly Sub[]): SessionSubs {
  const column = (name: keyof Sub) => Float64Array.from(list, (sub) => Number(sub[name]))
  return {
    index: Float64Array.from(list, (_, index) => index),
    startSeconds: column('startSeconds'),
    subSeconds: column('subSeconds'),
    filter: column('filter'),
    electronsPerSecond: column('electronsPerSecond'),
    isClipped: column('isClipped'),
    sensorCelsius: column('sensorCelsius'),
    starFlux: column('starFlux'),
    fwhm: column('fwhm'),
    guidingErrorArcsec: column('guidingErrorArcsec'),
    isAccepted: column('isAccepted'),
  }
}

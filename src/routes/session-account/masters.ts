// The master darks that the subs of a filter take, and what a sub under reference conditions holds.

import { masterDarkVariance, subYield, type AccountModel, type AccountSub } from '../../engine/index.ts'
import type { FilterLog, Measured, Thing } from './measured.ts'

/** Subs whose lengths agree to three digits take the same master dark. */
const masterKey = (subSeconds: number) => Number(subSeconds.toPrecision(3))

export function mastersOf(
  { scene, mode, subSeconds, calibration }: Measured,
  { thing, ...rest }: Thing,
  log: FilterLog,
) {
  const { rates } = scene.plane
  const { readout } = mode
  const indices = new Map<number, number>()
  const masters: number[] = []
  const known = new Map<number, number>()
  const masterOf = (seconds: number): number => {
    const before = known.get(seconds)
    if (before !== undefined) return before
    // Bias frames are the same for every length.
    const key = calibration.darkFrames === undefined ? 0 : masterKey(seconds)
    const index = indices.get(key) ?? masters.length
    if (index === masters.length) {
      indices.set(key, index)
      masters.push(masterDarkVariance({ rates, readout, subSeconds: seconds, calibration }))
    }
    known.set(seconds, index)
    return index
  }
  const master = masterOf(subSeconds)
  for (const seconds of log.lengths.keys()) masterOf(seconds)
  const model: AccountModel = { ...thing, masters }
  const reference: AccountSub = {
    subSeconds,
    transparency: 1,
    skyElectronsPerPixelSecond: rates.skyElectronsPerPixelSecond,
    darkElectronsPerPixelSecond: rates.darkElectronsPerPixelSecond,
    capturedFraction: rest.capturedAt(rest.fwhmArcsec),
    master,
  }
  const { signal, variance } = subYield(reference, model)
  const { capturedAt, fwhmArcsec, apertureRadiusArcsec } = rest
  return {
    model,
    masterOf,
    reference,
    referenceSnr: signal / Math.sqrt(variance),
    capturedAt,
    fwhmArcsec,
    apertureRadiusArcsec,
  }
}

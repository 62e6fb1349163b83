// A camera's own figures from pairs of flats and darks: EMVA 1288 Release 4.0 Linear, each with the standard uncertainty
// that a finite number of pixels leaves. Gain here is electrons per ADU; the standard's K is its inverse.

import { EngineError } from '../errors.ts'
import { darkCurrentFromLadder } from './photon-transfer-dark.ts'
import { photonTransferGain } from './photon-transfer-gain.ts'
import { orderedLevels, signalAdu } from './photon-transfer-levels.ts'
import {
  darkVarianceOf,
  linearityOf,
  readNoiseOf,
  photonResponseOf,
  saturationQuantitiesOf,
  uniformityOf,
} from './photon-transfer-quantities.ts'
import { saturationOf } from './photon-transfer-saturation.ts'
import type { MeasuredValue } from './measured-value.ts'
import type { DarkCurrentByLadder, DarkPair } from './photon-transfer-dark.ts'
import type { PhotonTransferGain } from './photon-transfer-gain.ts'
import type { PhotonTransferLevel } from './photon-transfer-levels.ts'
import type { Linearity } from './photon-transfer-linearity.ts'
import type {
  PhotonTransferReadNoise,
  PhotonTransferResponse,
  PhotonTransferUniformity,
  SaturationQuantities,
} from './photon-transfer-quantities.ts'
import type { Saturation } from './photon-transfer-saturation.ts'

export interface PhotonTransfer extends PhotonTransferReadNoise {
  gain: PhotonTransferGain
  /** From the line through the origin; 1/K. */
  electronsPerAdu: MeasuredValue
  /** Levels that the gain was fitted to: those below 70 % of saturation, or all where it isn't reached. */
  levelsInGain: number
  /** Mean of the darks of the faintest level. */
  offsetAdu: number
  /** Null where the ladder doesn't reach saturation. */
  saturation: (Saturation & SaturationQuantities) | null
  /** ADU per photon and electrons per photon; null without photons for every level of the gain. */
  response: PhotonTransferResponse | null
  /** Over 5 to 95 % of saturation; null without photons or exposures, or with fewer than three such levels. */
  linearity: Linearity | null
  /** Null without spatial variances at the level nearest to half of saturation. */
  uniformity: PhotonTransferUniformity | null
  /** Null without a ladder of darks. */
  darkCurrent: DarkCurrentByLadder | null
}

/** Part of the saturation level up to which the standard fits the gain. */
const GAIN_UP_TO = 0.7

/**
 * All that a ladder of flats and darks tells of a camera.
 *
 * @param input.levels  one or more, in any order; see PhotonTransferLevel
 * @param input.darks  ladder of darks at one temperature; may be empty
 * @returns EMVA 1288 quantities; null for what the data do not hold
 * @throws {EngineError} `not-enough-data`, `no-solution`, `out-of-range`
 * @source EMVA 1288 Release 4.0 Linear (16 June 2021)
 */
export function photonTransfer(input: {
  levels: readonly PhotonTransferLevel[]
  darks: readonly DarkPair[]
}): PhotonTransfer {
  const levels = orderedLevels(input.levels)
  const saturation = saturationOf(levels)
  const saturatesAtAdu = saturation === null ? Infinity : saturation.signalAdu
  const inGain = levels.filter((level) => signalAdu(level) <= GAIN_UP_TO * saturatesAtAdu)
  if (inGain.length === 0) {
    throw new EngineError('not-enough-data', 'No level lies below 70 % of saturation; a gain takes one at least.')
  }
  const gain = photonTransferGain(inGain)
  const { aduPerElectron, electronsPerAdu } = gain.throughOrigin
  const [faintest] = levels
  const camera = { aduPerElectron, darkVarianceAdu2: darkVarianceOf(faintest, gain) }
  return {
    gain,
    electronsPerAdu,
    levelsInGain: inGain.length,
    offsetAdu: faintest.darkMeanAdu,
    ...readNoiseOf(camera),
    saturation: saturation && { ...saturation, ...saturationQuantitiesOf(saturation, camera) },
    response: photonResponseOf(inGain, aduPerElectron),
    linearity: linearityOf(levels, saturatesAtAdu, gain),
    uniformity: uniformityOf(levels, saturatesAtAdu, gain),
    darkCurrent: input.darks.length > 0 ? darkCurrentFromLadder({ darks: input.darks, aduPerElectron }) : null,
  }
}

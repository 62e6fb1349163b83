// Models and subs of chance for the tests of accounts.

import { AccountSubs, type AccountModel, type AccountSub } from '../../../src/engine/index.ts'
import { seededRandom, type Random } from '../../support/random.ts'

/** A pixel of an extended target, without calibration noise unless it is given. */
export function pixelModel(given: Partial<AccountModel> = {}): AccountModel {
  return {
    signalElectronsPerSecond: 0.04,
    underlyingElectronsPerPixelSecond: 0,
    effectivePixels: 1,
    concentration: 1,
    readout: { readNoiseElectrons: 1.6, quantizationElectrons2: 0.1 },
    calibration: {},
    masters: [0],
    efficiency: 1,
    ...given,
  }
}

export const REFERENCE: AccountSub = {
  subSeconds: 120,
  transparency: 1,
  skyElectronsPerPixelSecond: 0.3,
  darkElectronsPerPixelSecond: 0.01,
  capturedFraction: 1,
  master: 0,
}

/** A sub on which everything is by chance. */
export function chanceSub({ uniform }: Random, masters = 1): AccountSub {
  return {
    subSeconds: 20 + 300 * uniform(),
    transparency: 1.2 * uniform() ** 2,
    skyElectronsPerPixelSecond: 3 * uniform() ** 2,
    darkElectronsPerPixelSecond: 0.05 * uniform(),
    capturedFraction: 0.3 + 0.7 * uniform(),
    master: Math.floor(masters * uniform()),
  }
}

/** A log of such subs. */
export function subsOfChance(seed: number, count: number, masters = 1): AccountSubs {
  const random = seededRandom(seed)
  return AccountSubs.of(...Array.from({ length: count }, () => chanceSub(random, masters)))
}

/** One sub out of the columns. */
export function subAt(subs: AccountSubs, index: number): AccountSub {
  return {
    subSeconds: subs.subSeconds[index] ?? NaN,
    transparency: subs.transparency[index] ?? NaN,
    skyElectronsPerPixelSecond: subs.sky[index] ?? NaN,
    darkElectronsPerPixelSecond: subs.dark[index] ?? NaN,
    capturedFraction: subs.captured[index] ?? NaN,
    master: subs.master[index] ?? NaN,
  }
}

// What a stack is worth with the best weights there are, and those weights.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import { masterFlatRelativeVariance } from '../exposure/calibration-noise.ts'
import { flattened, type AccountModel } from './account-model.ts'
import type { Stack } from './account-stack.ts'
import type { SubTerms } from './account-terms.ts'
import { ColumnMemory } from './column-memory.ts'
import type { Moments } from './moments.ts'

/** How a stack sees the errors of its masters. */
interface SharedNoise {
  /** Whether every sub has a pointing, and so an error of the flat, of its own. */
  isFlatOwn: boolean
  /** Relative variance of the flat over the pointings; 0 where its error is each sub's own. */
  flat: number
  byMaster: { moments: Moments; isOwn: boolean; heldBack: number }[]
  /** aᵀE⁻¹a, aᵀE⁻¹b, bᵀE⁻¹b without the flat. */
  ofSignal: number
  ofBoth: number
  ofBackground: number
}

function sharedNoise({ byMaster }: Stack, model: AccountModel, efficiency: number): SharedNoise {
  const positions = model.calibration.ditherPositions ?? 1
  const litCount = byMaster.reduce((sum, master) => sum + master.litCount, 0)
  const isFlatOwn = litCount <= positions
  const noise: SharedNoise = {
    isFlatOwn,
    flat: isFlatOwn ? 0 : masterFlatRelativeVariance(model.calibration) / positions,
    byMaster: [],
    ofSignal: 0,
    ofBoth: 0,
    ofBackground: 0,
  }
  byMaster.forEach((its, index) => {
    const isOwn = its.litCount <= positions
    const moments = isFlatOwn ? its.own : isOwn ? its.ownDark : its.shared
    const { inverse, signal, background } = moments
    const dark = isOwn ? 0 : (model.masters[index]! * model.effectivePixels) / positions
    // Sherman–Morrison: of what the subs have in common the error of their master leaves 1/(1 + δ Σ 1/V).
    const common = dark * inverse * efficiency
    const left = (inverse * efficiency) / (1 + common)
    noise.byMaster.push({ moments, isOwn, heldBack: common / (1 + common) })
    noise.ofSignal += moments.signalSpread * efficiency + left * signal * signal
    noise.ofBoth += moments.crossSpread * efficiency + left * signal * background
    noise.ofBackground += moments.backgroundSpread * efficiency + left * background * background
  })
  return noise
}

/** The plane that the flat's error lies in, by Woodbury's identity: weights go by onSignal · a + onBackground · b. */
function besideTheFlat({ flat, ofSignal, ofBoth, ofBackground }: SharedNoise, model: AccountModel) {
  const { concentration, effectivePixels } = model
  const area = Math.max(0, ofSignal * ofBackground - ofBoth * ofBoth)
  const determinant =
    1 +
    flat * (concentration * ofSignal + 2 * ofBoth + effectivePixels * ofBackground) +
    flat * flat * (concentration * effectivePixels - 1) * area
  return {
    information: (ofSignal + flat * effectivePixels * area) / determinant,
    onSignal: 1 + flat * (ofBoth + effectivePixels * ofBackground),
    onBackground: -flat * (ofSignal + effectivePixels * ofBoth),
  }
}

/**
 * Signal-to-noise ratio of a stack with the best weights.
 *
 *     SNR² = aᵀ C⁻¹ a,   C = diag(V) + Σ_m δ_m 1_m 1_mᵀ + φ (κ a aᵀ + a bᵀ + b aᵀ + n b bᵀ)
 *
 * Subs at one pointing share the error δ of their master dark and that of the flat, φ in relation to what it divides; so the
 * best weights do not go by each sub's own noise alone, and may fall below zero where a sub tells more of the error than of
 * the target. Which sub stood at which of the M pointings is not known: each pointing is taken to have its part of every
 * kind of sub, so that their errors together are one of 1/M of the variance. Subs of a master (or, for the flat, of the
 * filter) that are no more than M have a pointing, and an error, each. Subs of another length have another master.
 *
 * @param efficiency  information that the way of combining keeps of independent noise, as {@link AccountModel}
 * @returns 0 for a stack without signal
 * @source Sherman & Morrison 1950, Ann. Math. Stat. 21, 124; Aitken 1936, Proc. R. Soc. Edinb. 55, 42 (both from memory)
 * @source Bassett & Koenker 1978, JASA 73, 618 (from memory), for least absolute residuals of subs that differ
 */
export function stackSnr(stack: Stack, model: AccountModel, efficiency = model.efficiency): number {
  return Math.sqrt(besideTheFlat(sharedNoise(stack, model, efficiency), model).information)
}

/**
 * The same without what calibration adds.
 *
 * @returns √(Σ a²/v) times √efficiency
 * @derived Cauchy–Schwarz inequality on Σ w a = Σ (w √v)(a/√v)
 */
export function independentSnr({ byMaster }: Stack, { efficiency }: AccountModel): number {
  const information = byMaster.reduce(
    (sum, { shared }) => sum + shared.signalSpread + shared.inverse * shared.signal ** 2,
    0,
  )
  return Math.sqrt(information * efficiency)
}

/**
 * The weights, of the frames as they were taken, that reach {@link stackSnr}.
 *
 *     w = C⁻¹ a
 *
 * @param stack  the sums of these very subs
 * @param memory  for the weights
 * @returns per electron, but for a factor that all have; a/v where calibration adds nothing
 * @source as {@link stackSnr}
 */
export function bestWeights(
  terms: SubTerms,
  stack: Stack,
  model: AccountModel,
  memory = new ColumnMemory(),
): Float64Array {
  const noise = sharedNoise(stack, model, model.efficiency)
  const { onSignal, onBackground } = besideTheFlat(noise, model)
  const flat = masterFlatRelativeVariance(model.calibration)
  const common = noise.byMaster.map(
    ({ moments, heldBack }) => heldBack * (onSignal * moments.signal + onBackground * moments.background),
  )
  const weights = memory.float64(terms.signals.length)
  for (let index = 0; index < weights.length; index++) {
    const signal = terms.signals[index]!
    const background = terms.backgrounds[index]!
    const master = terms.masters[index]!
    const ownDark = noise.byMaster[master]!.isOwn ? model.effectivePixels * model.masters[master]! : 0
    const ownFlat = noise.isFlatOwn ? flat * flattened(signal, background, model) : 0
    const variance = terms.variances[index]! + ownDark + ownFlat
    if (variance === 0) continue
    weights[index] = (onSignal * signal + onBackground * background - common[master]!) / variance
  }
  return weights
}

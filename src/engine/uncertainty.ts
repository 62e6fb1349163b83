// What uncertain inputs do to an answer: the law of propagation of uncertainty for independent inputs, with the
// sensitivities found numerically.

export interface UncertainInput {
  /** How the caller names it. */
  input: string
  value: number
  /** ≥ 0 */
  standardUncertainty: number
}

export interface Contribution {
  input: string
  /** Share of the variance of the quantity, 0 to 1. */
  share: number
}

export interface QuantityUncertainty {
  quantity: string
  standardUncertainty: number
  /** In the order of the inputs. The shares add up to 1, or are all 0 where nothing moves the quantity. */
  contributions: Contribution[]
}

/**
 * Standard uncertainty of each quantity, and each input's share of its variance.
 *
 *     u²(y) = Σ (∂y/∂xᵢ)² u²(xᵢ)
 *
 * The derivative is the central difference over a hundredth of the input's standard uncertainty; where a quantity has no
 * value on one side (a boundary of physical sense), or the input is zero, the difference is taken on the other side alone.
 *
 * @param quantities  the model: all quantities with one input replaced by another value; null where it refuses that value
 * @param inputs  independent
 * @returns one entry for each quantity of the model
 * @source JCGM 100:2008 (GUM), 5.1.2 equation (10), and 5.1.3 note 2 for the numerical sensitivities
 */
export function propagate(
  quantities: (replaced: UncertainInput | null, value: number) => Record<string, number> | null,
  inputs: readonly UncertainInput[],
): QuantityUncertainty[] {
  const middle = quantities(null, 0) ?? {}
  const varied = inputs.map((input) => ({ input: input.input, deviations: deviationsOf(quantities, input, middle) }))
  return Object.keys(middle).map((quantity) => {
    const parts = varied.map(({ input, deviations }) => ({ input, deviation: deviations[quantity] ?? 0 }))
    const standardUncertainty = Math.hypot(...parts.map(({ deviation }) => deviation))
    const share = (deviation: number) => (standardUncertainty > 0 ? (deviation / standardUncertainty) ** 2 : 0)
    return {
      quantity,
      standardUncertainty,
      contributions: parts.map(({ input, deviation }) => ({ input, share: share(deviation) })),
    }
  })
}

/** By how much one standard uncertainty of the input moves each quantity. */
function deviationsOf(
  quantities: (replaced: UncertainInput | null, value: number) => Record<string, number> | null,
  input: UncertainInput,
  middle: Record<string, number>,
): Record<string, number> {
  const hundredth = input.standardUncertainty / 100
  if (hundredth === 0) return {}
  // Never across zero, where most inputs end: a vast uncertainty must not ask the model about negative light.
  const size = Math.abs(input.value)
  const step = size === 0 ? hundredth : Math.min(Math.max(hundredth, size * 1e-7), size / 2)
  const above = quantities(input, input.value + step)
  const below = size === 0 ? null : quantities(input, input.value - step)
  const result: Record<string, number> = {}
  for (const [quantity, value] of Object.entries(middle)) {
    const higher = above?.[quantity]
    const lower = below?.[quantity]
    const steps = (higher === undefined ? 0 : 1) + (lower === undefined ? 0 : 1)
    const deviation = (((higher ?? value) - (lower ?? value)) / (steps * step)) * input.standardUncertainty
    // Not a number where both sides were refused, or where the step is lost in the rounding of the value.
    if (Number.isFinite(deviation)) result[quantity] = deviation
  }
  return result
}

// A number with what is known of its uncertainty, and what becomes of it in a formula.

import { propagate } from '../uncertainty.ts'

export interface MeasuredValue {
  value: number
  /** Null where the data cannot tell. */
  standardUncertainty: number | null
}

/**
 * A quantity computed from independent measured values.
 *
 * @param inputs  by name
 * @param model  the quantity for one set of values
 * @returns with its standard uncertainty, null when that of any input is unknown
 * @source JCGM 100:2008, 5.1.2
 */
export function measuredFrom<Input extends string>(
  inputs: Record<Input, MeasuredValue>,
  model: (values: Record<Input, number>) => number,
): MeasuredValue {
  return { value: model(valuesOf(inputs)), standardUncertainty: propagatedUncertainty(inputs, model) }
}

/**
 * A quantity that has no answer for some values, computed from independent measured values.
 *
 * @param inputs  by name
 * @param model  the quantity for one set of values; null where it has no answer
 * @returns as measuredFrom; null where the model has no answer for the values themselves
 * @source JCGM 100:2008, 5.1.2
 */
export function measuredUnlessNull<Input extends string>(
  inputs: Record<Input, MeasuredValue>,
  model: (values: Record<Input, number>) => number | null,
): MeasuredValue | null {
  const value = model(valuesOf(inputs))
  return value === null ? null : { value, standardUncertainty: propagatedUncertainty(inputs, model) }
}

function valuesOf<Input extends string>(inputs: Record<Input, MeasuredValue>): Record<Input, number> {
  const entries = Object.entries<MeasuredValue>(inputs)
  return Object.fromEntries(entries.map(([name, { value }]) => [name, value])) as Record<Input, number>
}

function propagatedUncertainty<Input extends string>(
  inputs: Record<Input, MeasuredValue>,
  model: (values: Record<Input, number>) => number | null,
): number | null {
  const entries = Object.entries<MeasuredValue>(inputs)
  const known = entries.flatMap(([input, { value, standardUncertainty }]) =>
    standardUncertainty === null ? [] : [{ input, value, standardUncertainty }],
  )
  if (known.length < entries.length) return null
  const values = valuesOf(inputs)
  const propagated = propagate((replaced, replacement) => {
    const quantity = model(replaced === null ? values : { ...values, [replaced.input]: replacement })
    return quantity === null ? null : { quantity }
  }, known)
  return Math.hypot(...propagated.map(({ standardUncertainty }) => standardUncertainty))
}

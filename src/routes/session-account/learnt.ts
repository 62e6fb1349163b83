// What a log teaches about interruptions goes into what is said of the time still missing.

import type { InterruptionRate } from '../../engine/index.ts'
import { survives } from '../../setup/exposure.ts'
import type { Notes } from '../../setup/notes.ts'
import type { Request } from './filter-requests.ts'
import type { FilterSetup } from './filters.ts'

const POINTER = '/plan/interruptionsPerHour'

/** The set-ups with the rate of the log, where the plan names none, in place of the default. */
export function learntSetups(
  { plan }: Request,
  setups: readonly FilterSetup[],
  { expected }: InterruptionRate,
  notes: Notes,
): readonly FilterSetup[] {
  if (plan?.interruptionsPerHour !== undefined || expected === null) return setups
  const learnt = setups.map((setup) => ({
    ...setup,
    losses: { ...setup.losses, interruptionsPerSecond: expected.perHour / 3600 },
  }))
  // So many that no sub of the usual length is left: that was not the rate of every hour.
  if (!learnt.every(({ reference, losses }) => survives(reference.subSeconds, losses))) return setups
  for (const assumption of notes.assumptions) {
    if (assumption.pointer !== POINTER) continue
    assumption.value = expected.perHour
    assumption.reason = 'not given: learnt from this log'
  }
  return learnt
}

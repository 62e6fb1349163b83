// What each change is worth, and what two of them do to each other.

import { gainParts, ranksOf, type GainPart } from '../../engine/index.ts'
import type { SetupYield } from '../../setup/comparison-yield.ts'
import { short, spokenSeconds, spokenShare } from '../../setup/words.ts'
import type { Request, Solution, Together } from './solve.ts'

/** A gain or an interaction below this is none: the sky of two nights differs more. */
const HARDLY = 0.01

/** Only parts that move the information by more than this are told. */
const TOLD = 0.005

export type Worth = 'worth-it' | 'outdone' | 'too-dear' | 'no-gain' | 'harm'

export interface Judged {
  name: string
  price: number
  hoursSaved: number | null
  hoursSavedPerMoney: number | null
  snrGain: number | null
  attacks: { part: GainPart; informationFactor: number }[]
  worth: Worth
  reason: string
  yielded: SetupYield
}

/** Every change on its own, judged. */
export function judge(solution: Solution, request: Request): Judged[] {
  const { base, single } = solution
  return request.candidates.flatMap(({ name, price }, index) => {
    const yielded = single[index]
    if (yielded === undefined) return []
    const hoursSaved = savedHours(base, yielded)
    const measured = {
      name,
      price,
      hoursSaved,
      hoursSavedPerMoney: perMoney(hoursSaved, price),
      snrGain: snrGain(base, yielded),
      attacks: attacksOf(base, yielded),
      yielded,
    }
    return [{ ...measured, ...worthOf(measured, index, solution, request) }]
  })
}

type Measured = Omit<Judged, 'worth' | 'reason'>

export function savedHours(base: SetupYield, other: SetupYield): number | null {
  const { totalHours: before } = base.answer
  const { totalHours: after } = other.answer
  return before === null || after === null ? null : before - after
}

export function snrGain(base: SetupYield, other: SetupYield): number | null {
  const gain = other.outcome.nightSnr / base.outcome.nightSnr
  return Number.isFinite(gain) ? gain : null
}

function perMoney(hours: number | null, price: number): number | null {
  const ratio = hours === null ? null : hours / price
  return ratio !== null && Number.isFinite(ratio) ? ratio : null
}

function attacksOf(base: SetupYield, other: SetupYield): Judged['attacks'] {
  if (base.gathering === null || other.gathering === null) return []
  const parts = Object.entries(gainParts(base.gathering, other.gathering)) as [GainPart, number][]
  return parts
    .filter(([, gain]) => gain > TOLD)
    .sort(([, a], [, b]) => b - a)
    .map(([part, gain]) => ({ part, informationFactor: Math.exp(Math.min(gain, LARGEST_LOGARITHM)) }))
}

/** e to this is as large as a number gets. */
const LARGEST_LOGARITHM = 700

function worthOf(
  it: Measured,
  index: number,
  { base, bundle }: Solution,
  request: Request,
): { worth: Worth; reason: string } {
  const { name, price, yielded } = it
  const alone = relativeGain(base, yielded)
  const without = bundle.without.get(index)
  if (without !== undefined && relativeGain(without, bundle.yielded) > HARDLY) {
    const hasTime = without.outcome.seconds !== null && bundle.yielded.outcome.seconds !== null
    const missed = hasTime
      ? `in the best set of changes it takes ${spokenShare(relativeGain(without, bundle.yielded))} off the time`
      : 'the best set of changes is not as good without it'
    // Alone it may cost more than it brings, a drive above all, and be worth it beside the others.
    const pays = alone < 0 ? 'pays only together with the others: alone' : 'pays:'
    return { worth: 'worth-it', reason: `“${name}” ${pays} ${spokenChange(it, base)}; ${missed}.` }
  }
  if (without !== undefined) {
    const save = price === 0 ? '' : `; without it ${short(price)} is saved`
    return { worth: 'no-gain', reason: `“${name}” adds hardly anything to the best set of changes${save}.` }
  }
  if (Math.abs(alone) <= HARDLY) {
    const hint = isCoolerAlone(request, index) ? ` ${COOLER_HINT}` : ''
    return { worth: 'no-gain', reason: `“${name}” hardly changes anything.${hint}` }
  }
  if (alone < 0) return { worth: 'harm', reason: `“${name}” makes it worse: ${spokenChange(it, base)}.` }
  const gains = `“${name}” gains on its own (${spokenChange(it, base)})`
  return price > bundle.budget
    ? { worth: 'too-dear', reason: `${gains}, but its price is above the budget.` }
    : {
        worth: 'outdone',
        reason: `${gains}, but ${price <= bundle.budget - bundle.price ? 'brings nothing more beside the best set of changes' : 'the money does more elsewhere'}.`,
      }
}

const COOLER_HINT =
  'Without `night` a cooler counts by the temperature it leads to: set `camera.temperatureCelsius` in the change too.'

function isCoolerAlone({ candidates, night }: Request, index: number): boolean {
  const { camera } = (candidates[index]?.change ?? {}) as { camera?: Record<string, unknown> | null }
  return night === undefined && camera != null && 'cooler' in camera && !('temperatureCelsius' in camera)
}

/** The share of the time that a change saves, or of a night's ratio that it adds where there is no time to save. */
function relativeGain(base: SetupYield, other: SetupYield): number {
  const { seconds: before } = base.outcome
  const { seconds: after } = other.outcome
  if (before !== null && after !== null) return (before - after) / Math.max(before, after)
  if (before !== null) return -1
  if (after !== null) return 1
  const gain = snrGain(base, other)
  return gain === null ? Math.sign(other.outcome.nightSnr) : 1 - 1 / Math.max(gain, Number.MIN_VALUE)
}

function spokenChange({ yielded, hoursSaved }: Measured, base: SetupYield): string {
  const { totalHours } = base.answer
  if (hoursSaved !== null && totalHours !== null) {
    const hours = spokenSeconds(Math.abs(hoursSaved) * 3600)
    const share = spokenShare(Math.abs(hoursSaved) / totalHours)
    return hoursSaved > 0 ? `it saves ${hours}, ${share} of the time` : `it costs ${hours}, ${share} more time`
  }
  if (totalHours !== null) return 'the goal is then out of reach'
  if (yielded.answer.totalHours !== null) return 'only with it the goal comes within reach'
  return `a night then yields a ratio of ${short(yielded.outcome.nightSnr)} instead of ${short(base.outcome.nightSnr)}`
}

/** Ranks by hours saved for each unit of money: what is free and saves comes first, what saves nothing last. */
export function moneyRanks(judged: readonly Judged[], base: SetupYield): number[] {
  const merit = ({ price, yielded, hoursSaved, hoursSavedPerMoney }: Judged): [number, number] => {
    const gain = relativeGain(base, yielded)
    if (gain <= HARDLY) return [0, gain]
    if (price === 0) return [3, gain]
    return hoursSaved === null || hoursSavedPerMoney === null ? [1, gain / price] : [2, hoursSavedPerMoney]
  }
  const merits = judged.map(merit)
  return ranksOf(merits, ([a, x], [b, y]) => b - a || y - x)
}

export type Effect = 'reinforce' | 'overlap' | 'independent' | 'exclusive' | 'unknown'

/** What two changes do to each other: the gain of both in SNR over the product of the gains. */
export function interactionOf(
  { first, second, yielded }: Together,
  { base, single }: Solution,
): { effect: Effect; snrGain: number | null; interaction: number | null; togetherHoursSaved: number | null } {
  if (yielded === null) return { effect: 'exclusive', snrGain: null, interaction: null, togetherHoursSaved: null }
  const gain = snrGain(base, yielded)
  const alone = [single[first], single[second]].map((it) => (it === undefined ? null : snrGain(base, it)))
  const product = alone.reduce((a, b) => (a === null || b === null ? null : a * b), 1)
  const ratio = gain === null || product === null ? NaN : gain / product
  const interaction = Number.isFinite(ratio) ? ratio : null
  return { effect: effectOf(interaction), snrGain: gain, interaction, togetherHoursSaved: savedHours(base, yielded) }
}

function effectOf(interaction: number | null): Effect {
  if (interaction === null) return 'unknown'
  if (interaction > 1 + HARDLY) return 'reinforce'
  return interaction < 1 - HARDLY ? 'overlap' : 'independent'
}

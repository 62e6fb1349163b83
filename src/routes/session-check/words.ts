// The advice in sentences.

import { valueAt, type ConditionName } from '../../engine/index.ts'
import type { Notes } from '../../setup/notes.ts'
import { short, spokenCelsius, spokenSeconds } from '../../setup/words.ts'
import type { FilterSetup } from './filter-setup.ts'
import { reasonOf } from './reason.ts'
import { isUncooled, type Solution } from './solution.ts'
import { areRejected, plannedSky } from './state.ts'

const CONDITION_WORDS: Record<ConditionName, string> = {
  cloud: 'The stars lose light: cloud or haze.',
  frost:
    'The stars lose light and widen while the sensor holds its temperature: dew or frost on the optics or on the sensor’s window. Clear them and keep them warm.',
  moonlight:
    'The background has risen and stays up while the stars lose no light: moonlight, or twilight or a lamp if it is the hour.',
  'passing-light':
    'The background of one sub stands out from its neighbours: a light that passed, such as a car. The plan stays.',
  'brighter-background': 'The background has risen; without `relativeStarFlux` nobody can tell cloud from Moon.',
  'darker-background':
    'The background has fallen fast; with `relativeStarFlux` it would show whether cloud covers the stars too.',
  'cooling-failure': 'The sensor is warmer than its set-point: the cooler does not hold it.',
  'colder-than-set-point': 'The sensor is colder than its set-point.',
  guiding: 'The stars widen without losing light and guiding is worse: look at guiding, wind and mount.',
  'wide-stars':
    'The stars widen without losing light: seeing, focus or guiding; no guiding error that was given tells which.',
  focus:
    'The stars widen without losing light while guiding is as good as ever: look at the focus, or blame the seeing.',
  'clipped-background': 'The background reaches the top of the scale; such a sub tells nothing.',
}

/** What was seen, and what to do. */
export function conditionWords(name: ConditionName, uncooled: boolean): string {
  if (uncooled && name === 'cooling-failure') return 'The sensor is warmer than it was meant to be.'
  if (uncooled && name === 'colder-than-set-point') return 'The sensor is colder than it was meant to be.'
  return CONDITION_WORDS[name]
}

/** Writes the explanation into the notes. */
export function explain(solution: Solution, notes: Notes): void {
  notes.explain(reasonOf(solution))
  explainSky(solution, notes)
  explainProgress(solution, notes)
  explainDarks(solution, notes)
  explainLog(solution, notes)
}

function explainSky({ filters, next, state }: Solution, notes: Notes): void {
  const setup = filters[next]?.setup
  const present = state.present[next]
  if (setup === undefined || present === undefined || present.measured === 0) return
  const times = present.skyElectronsPerSecond / plannedSky(setup)
  if (times === 0) notes.caution(NO_SKY_NOW)
  if (Number.isFinite(times) && (times < 1 - WORTH_SAYING || times > 1 + WORTH_SAYING))
    notes.explain(`The sky now is ${short(times)} times what the plan expected.`)
}

/** An offset that was measured too high hides the sky: subs then look better than they are, and a goal nearer. */
const NO_SKY_NOW =
  'The subs show no sky above offset and dark current, where the plan expects some: the ratio and the length go by none. Measure the offset on a bias frame.'

/** A sky within so much of the plan’s is the plan’s. */
const WORTH_SAYING = 0.1

function explainProgress({ filters, remaining, isPacePlanned, action, weights }: Solution, notes: Notes): void {
  const how = weights === 'optimal' ? 'each sub weighted by its worth' : 'all subs weighted alike'
  for (const [index, { setup, progress, subsToGoal }] of filters.entries()) {
    const { snr, outOfReach, ceilingSnr } = progress
    const name = setup.label === null || filters.length === 1 ? '' : ` through “${setup.label}”`
    if (snr !== null) notes.explain(keptWords(setup, { ...progress, snr }, { name, how, first: index === 0 }))
    if (outOfReach) {
      notes.explain(
        `The goal${name} lies above ${short(ceilingSnr ?? 0)}, which no number of subs exceeds with these calibration frames.`,
      )
    } else if (setup.goal !== undefined && subsToGoal === null) {
      notes.explain(`At the present rate the goal${name} is never reached.`)
    }
    if (progress.reached && action.name !== 'finish') {
      notes.explain(`Filter “${setup.label ?? ''}” has reached its goal.`)
    }
  }
  if (remaining === null || action.name === 'finish') return
  notes.explain(
    remaining.setBy === 'goal'
      ? `To the goal${filters.length > 1 ? 's' : ''}: about ${subsOf(remaining.subCount)}, ${spokenSeconds(remaining.clockSeconds)} on the clock at the ${isPacePlanned ? 'pace of the plan' : 'present rate'}.`
      : `Before the end: about ${subsOf(remaining.subCount)}.`,
  )
}

interface Saying {
  name: string
  how: string
  /** Whether the ratio is named for the first time. */
  first: boolean
}

function keptWords(
  { collectedSnr }: FilterSetup,
  { subCount, snr }: { subCount: number; snr: number },
  { name, how, first }: Saying,
): string {
  const ratio = first ? 'a signal-to-noise ratio of' : 'a ratio of'
  if (subCount > 0) {
    const before = collectedSnr > 0 ? 'with what was collected before, ' : ''
    return `${subsOf(subCount)} kept${name}: ${ratio} ${short(snr)}, ${before}${how}.`
  }
  return collectedSnr > 0
    ? `No sub kept yet${name}; collected before: ${ratio} ${short(collectedSnr)}.`
    : `No sub kept yet${name}.`
}

function explainDarks(solution: Solution, notes: Notes): void {
  const { darks, state, action } = solution
  if (darks === null || darks.match) return
  if (!darks.areGiven) {
    const meant = spokenCelsius(state.setPointCelsius ?? darks.celsius)
    const taken = isUncooled(solution) ? `Darks at ${meant}` : `Darks of the set-point, ${meant},`
    notes.explain(`${taken} do not match a sensor at ${spokenCelsius(darks.celsius)}: ${TAKE_DARKS}`)
    return
  }
  const lengths = darks.matchingSubSeconds
  const minutes = [...lengths, action.subSeconds].every((seconds) => seconds % 60 === 0)
  const inUnit = (seconds: number) => String(minutes ? seconds / 60 : seconds)
  const unit = minutes ? 'min' : 's'
  const found =
    lengths.length === 0
      ? `No darks match a sensor at ${spokenCelsius(darks.celsius)}`
      : `Your darks that match a sensor at ${spokenCelsius(darks.celsius)} are of ${lengths.map(inUnit).join(', ')} ${unit}, none of ${inUnit(action.subSeconds)} ${unit}`
  notes.explain(`${found}: ${TAKE_DARKS}`)
}

const TAKE_DARKS = 'take darks at this temperature before you pack up.'

function explainLog({ action, conditions, log, state, filters }: Solution, notes: Notes): void {
  const { duplicates, outOfOrder, overlapping } = log
  if (duplicates > 0) notes.explain(`Listed twice, with the same start: ${subsOf(duplicates)}; the last entry counts.`)
  if (outOfOrder) notes.explain('The subs were not in order of time; they were sorted.')
  if (overlapping > 0)
    notes.caution(`${subsOf(overlapping)} of your list began before the one before had ended: look at the clock.`)
  const { filter, isAccepted } = state.subs
  let [others, rejected] = [0, 0]
  for (let at = 0; at < filter.length; at++) {
    if (valueAt(filter, at) >= filters.length) others++
    if (isAccepted[at] === 0) rejected++
  }
  if (others > 0) notes.explain(`Left out of the ratio, since they went through another filter: ${subsOf(others)}.`)
  if (rejected > 0) notes.explain(`Rejected: ${rejected} of ${subsOf(isAccepted.length)}; they count for the sky only.`)
  if (action.why === 'length' && conditions.length === 0 && areRejected(state.subs)) {
    notes.explain(
      'The last three subs were rejected though the stars are there: look at tracking, focus and framing before you take more.',
    )
  }
}

function subsOf(count: number): string {
  return count === 1 ? '1 sub' : `${count} subs`
}

// What is said of one filter.

import type { Notes } from '../../setup/notes.ts'
import { short, spokenSeconds, spokenShare } from '../../setup/words.ts'
import type { FilterAccount } from './account.ts'

const PER_WORDS = { pixel: 'on a pixel', arcsec2: 'on a square arcsecond', star: 'on the star' }

const subs = (count: number) => (count === 1 ? '1 sub' : `${count} subs`)

export function explainFilter(account: FilterAccount, notes: Notes): void {
  const { name } = account.setup
  const say = (sentence: string) => {
    notes.explain(`“${name}”: ${sentence}`)
  }
  const { lines, rejectedCount } = account.tally
  if (lines.length > 0) {
    explainStack(account, say)
    explainLengths(account, say)
    explainCombine(account, say)
    explainDrop(account, say)
    explainCeiling(account, say)
  } else if (rejectedCount === 0) say('the log has no sub of it that can be used, so there is no signal.')
  else
    say(
      `${rejectedCount === 1 ? 'its one sub is not' : `none of its ${rejectedCount} subs is`} accepted, so there is no signal.`,
    )
  explainGoal(account, say)
}

type Say = (sentence: string) => void

/** A gain, in numbers where two digits tell them apart. */
function gained(from: number, to: number, words: { reach: (to: string) => string; gain: (share: string) => string }) {
  return short(from) === short(to) ? words.gain(spokenShare(to / from - 1)) : words.reach(short(to))
}

function explainStack(account: FilterAccount, say: Say): void {
  const { setup, tally, weights, weightedSnr, equalSnr, effectiveSeconds } = account
  const { scale, per } = setup
  const { lines, exposureSeconds } = tally
  const reached = `${subs(lines.length)} reach${lines.length === 1 ? 'es' : ''} a signal-to-noise ratio of ${short(weightedSnr * scale)} ${PER_WORDS[per]}`
  if (lines.length === 1 || weightedSnr === 0) say(`${reached}.`)
  else if (weightedSnr <= 1.005 * equalSnr) say(`${reached}; weights would gain next to nothing.`)
  else {
    const without = gained(equalSnr * scale, weightedSnr * scale, {
      reach: () => `${short(equalSnr * scale)} without`,
      gain: (share) => `${share} more than without`,
    })
    say(`${reached} with weights, ${without}.`)
  }
  explainNegative(weights, say)
  say(
    `${spokenSeconds(exposureSeconds)} of exposure are worth ${spokenSeconds(effectiveSeconds)} under reference conditions.`,
  )
}

function explainNegative(weights: Float64Array, say: Say): void {
  const count = weights.filter((weight) => weight < 0).length
  if (count === 0) return
  say(
    count === 1
      ? '1 sub takes a weight below 0: it shows the calibration error better than the target, so it is subtracted.'
      : `${subs(count)} take a weight below 0: they show the calibration error better than the target, so they are subtracted.`,
  )
}

const MOST_LENGTHS = 4

function explainLengths({ tally, setup }: FilterAccount, say: Say): void {
  const { lengths } = tally
  if (lengths.size < 2) return
  const most = [...lengths].sort(([, one], [, other]) => other - one)
  const shown = most.slice(0, MOST_LENGTHS).map(([seconds, count]) => `${count} of ${spokenSeconds(seconds)}`)
  const more = most.length > MOST_LENGTHS ? ' and others' : ''
  const darks = setup.model.calibration.darkFrames === undefined ? '' : '; each length takes darks of its own'
  say(`lengths are mixed, ${shown.join(', ')}${more}: weights allow for that${darks}.`)
}

function explainCombine({ setup, tally }: FilterAccount, say: Say): void {
  const { combine, model } = setup
  if (combine === 'median')
    say(`a median keeps ${spokenShare(model.efficiency)} of what a mean would make of these subs.`)
  else if (combine === 'clipped-mean' && tally.lines.length <= 10) {
    say('a mean clipped at 3 standard deviations cannot reject anything in 10 subs or fewer.')
  } else if (combine === 'clipped-mean') {
    say(
      `a clipped mean keeps ${spokenShare(model.efficiency)} of what a plain mean would, where nothing is to be clipped.`,
    )
  }
}

const MOST_LINES = 3

function explainDrop({ setup, drop, equalSnr, weightedSnr }: FilterAccount, say: Say): void {
  const { lines } = drop
  if (lines.length === 0) return
  const { scale } = setup
  const which = lines.length > MOST_LINES ? '' : ` (line${lines.length === 1 ? '' : 's'} ${lines.join(', ')})`
  const better = gained(equalSnr * scale, drop.equalSnr * scale, {
    reach: (snr) => `reach ${snr}`,
    gain: (share) => `gain ${share}`,
  })
  const lost = Math.max(0, 1 - drop.weightedSnr / weightedSnr)
  const cost = lost < 0.001 ? 'next to nothing' : spokenShare(lost)
  say(
    `without weights, drop ${subs(lines.length)}${which} and ${better}; with weights keep them, dropping them costs ${cost}.`,
  )
}

function explainCeiling({ setup, ceilingSnr, equalSnr }: FilterAccount, say: Say): void {
  if (ceilingSnr === null) return
  say(
    `with these calibration frames no number of such subs, added up as they are, gets above ${short(ceilingSnr * setup.scale)}; the stack is at ${spokenShare(equalSnr / ceilingSnr)} of that.`,
  )
}

function explainGoal({ setup, tally, atOwnRate, atReference, weightedSnr }: FilterAccount, say: Say): void {
  const { goal, reference } = setup
  if (goal === undefined) return
  const goalIs = `the goal of ${short(goal.snr)}`
  if (weightedSnr * setup.scale >= goal.snr) {
    say(`${goalIs} is reached.`)
    return
  }
  const own =
    atOwnRate === null
      ? null
      : `${spokenSeconds(atOwnRate.clockSeconds)} if it goes on as it did, with ${tally.lengths.size > 1 ? 'its lengths and ' : ''}weights`
  if (atReference !== null) {
    const still = `still missing to ${goalIs}: ${spokenSeconds(atReference.clockSeconds)} on the clock under reference conditions`
    const length = `in subs of ${spokenSeconds(atReference.subSeconds ?? reference.subSeconds)}`
    const never = tally.lines.length === 0 ? '' : '; going on as it did does not get there'
    say(`${still} ${length}${own === null ? never : `; ${own}`}.`)
  } else if (own === null) say(`${goalIs} lies above what these calibration frames allow.`)
  else {
    say(
      `${goalIs} lies above what these calibration frames allow for subs that are all alike; only unequal subs, weighted, get there: ${own}.`,
    )
  }
}

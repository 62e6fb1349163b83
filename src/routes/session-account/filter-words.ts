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

function explainStack({ setup, tally, weightedSnr, equalSnr, effectiveSeconds }: FilterAccount, say: Say): void {
  const { scale, per } = setup
  const { lines, exposureSeconds } = tally
  const reached = `${subs(lines.length)} reach${lines.length === 1 ? 'es' : ''} a signal-to-noise ratio of ${short(weightedSnr * scale)} ${PER_WORDS[per]}`
  if (weightedSnr <= 1.005 * equalSnr) say(`${reached}; weights would gain next to nothing.`)
  else {
    const without = gained(equalSnr * scale, weightedSnr * scale, {
      reach: () => `${short(equalSnr * scale)} without`,
      gain: (share) => `${share} more than without`,
    })
    say(`${reached} with weights, ${without}.`)
  }
  say(
    `${spokenSeconds(exposureSeconds)} of exposure are worth ${spokenSeconds(effectiveSeconds)} under reference conditions.`,
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
  say(
    `without weights, drop ${subs(lines.length)}${which} and ${better}; with weights keep them, dropping them costs ${spokenShare(1 - drop.weightedSnr / weightedSnr)}.`,
  )
}

function explainCeiling({ setup, ceilingSnr, weightedSnr }: FilterAccount, say: Say): void {
  if (ceilingSnr === null) return
  say(
    `with these calibration frames no number of such subs gets above ${short(ceilingSnr * setup.scale)}; the stack is at ${spokenShare(weightedSnr / ceilingSnr)} of that.`,
  )
}

function explainGoal({ setup, atOwnRate, atReference, weightedSnr }: FilterAccount, say: Say): void {
  const { goal } = setup
  if (goal === undefined) return
  if (weightedSnr * setup.scale >= goal.snr) say(`the goal of ${short(goal.snr)} is reached.`)
  else if (atReference === null) say(`the goal of ${short(goal.snr)} lies above what these calibration frames allow.`)
  else {
    const own = atOwnRate === null ? '' : `, ${spokenSeconds(atOwnRate.clockSeconds)} if it goes on as it did`
    say(
      `still missing to the goal of ${short(goal.snr)}: ${spokenSeconds(atReference.clockSeconds)} on the clock under reference conditions${own}.`,
    )
  }
}

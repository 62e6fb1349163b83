// Why, in one sentence.

import type { ConditionName } from '../../engine/index.ts'
import { short, spokenSeconds, spokenShare } from '../../setup/words.ts'
import { PAUSE_SHARE } from './action.ts'
import type { Solution } from './solution.ts'

/** Why, in one sentence, which begins with what goes on. */
export function reasonOf(solution: Solution): string {
  const names = [...new Set(solution.conditions.map(({ name }) => SHORT_NAMES[name]))]
  const reason = actionReason(solution)
  if (names.length === 0 || solution.action.name === 'finish') return reason
  return `${capital(names.join(', '))}: ${reason.charAt(0).toLowerCase()}${reason.slice(1)}`
}

const SHORT_NAMES: Record<ConditionName, string> = {
  cloud: 'cloud',
  frost: 'frost or dew, clear and warm the optics',
  moonlight: 'moonlight',
  'passing-light': 'a light passed',
  'brighter-background': 'a brighter background',
  'darker-background': 'a darker background',
  'cooling-failure': 'a warm sensor',
  'colder-than-set-point': 'a cold sensor',
  guiding: 'poor guiding',
  focus: 'wide stars',
  'wide-stars': 'wide stars',
  'clipped-background': 'a clipped background',
}

function actionReason(solution: Solution): string {
  const { action, filters, next, state } = solution
  const length = filters[next]?.length
  const seconds = spokenSeconds(action.subSeconds)
  switch (action.why) {
    case 'goals-reached':
      return filters.length > 1 ? 'Every filter has reached its goal.' : 'The goal is reached.'
    case 'time-over':
      return `No ${furtherSub(solution)} ends in time.`
    case 'time-over-after-pause':
      return `An hour now is worth next to nothing, and after a pause no ${furtherSub(solution)} ends in time.`
    case 'last-sub':
      return `A sub of ${seconds} is the longest that still ends in time.`
    case 'too-little':
      return `An hour now is worth less than ${spokenShare(PAUSE_SHARE)} of an undisturbed one; wait, and try one sub.`
    case 'rejected':
      return 'The last three subs were rejected and nothing tells of the stars; wait, and try one sub.'
    case 'too-bright':
      return 'The background is too bright for even the shortest sub allowed; wait, and try one.'
    case 'length':
      return state.subs.filter.length === 0
        ? `No sub yet: the plan’s own length, ${seconds}.`
        : lengthReason(solution, length)
  }
}

/** Without a ladder nobody knows which shorter lengths would do. */
function furtherSub({ filters, next }: Solution): string {
  return filters[next]?.setup.plan.subLadderSeconds === undefined ? 'sub of the advised length' : 'further sub'
}

function lengthReason({ minimumGain }: Solution, length: Solution['filters'][number]['length'] | undefined): string {
  if (length === undefined) return 'Carry on.'
  const { reason, gain, subSeconds, bestSeconds } = length
  switch (reason) {
    case 'best':
      return 'No other length would yield more at the sky as it is.'
    case 'not-worth-it':
      return `Another length would gain ${spokenShare(Math.max(0, gain))} an hour at most; that is not worth a change (from ${spokenShare(minimumGain)}).`
    case 'not-certain':
      return `Subs of ${spokenSeconds(bestSeconds)} may gather ${more(gain)} information an hour, but the subs so far don’t make it certain.`
    case 'none-kept':
      return 'The last three subs were rejected; longer ones would fare no better.'
    case 'gain':
      return `At the sky as it is, subs of ${spokenSeconds(subSeconds)} gather ${more(gain)} information an hour.`
    case 'bound':
    case 'none-allowed':
      return `Longer subs than ${spokenSeconds(subSeconds)} break a hard bound at the sky as it is: the well, the mount or your own longest sub.`
    case 'not-on-ladder':
      return `The last length is none of those to choose from; of them ${spokenSeconds(subSeconds)} yields most.`
  }
}

/** A gain, as it stands before what is gained. */
const more = (gain: number) => (gain < 1 ? `${spokenShare(gain)} more` : `${short(1 + gain)} times the`)

/** A sentence with a capital. */
export function capital(sentence: string): string {
  return sentence.charAt(0).toUpperCase() + sentence.slice(1)
}

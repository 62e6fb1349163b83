// The parts that the questions of choosing have in common, as plain requests.

import type { z } from 'zod'
import type { ComparedGoalSchema, ComparedNightSchema, UpgradedSetupSchema } from '../contract/compared.ts'
import type { ComparisonRequestSchema } from '../contract/comparison.ts'
import type { Plain } from '../contract/fields.ts'
import type { UpgradesRequestSchema } from '../contract/upgrades.ts'
import type { Notes } from './notes.ts'
import type { FilterRequest } from './optics.ts'
import { hasExtended, hasStar, type TargetRequest } from './scene.ts'
import { short } from './words.ts'

export type ComparisonRequest = Plain<z.infer<typeof ComparisonRequestSchema>>
export type UpgradesRequest = Plain<z.infer<typeof UpgradesRequestSchema>>
export type UpgradedSetup = Plain<z.infer<typeof UpgradedSetupSchema>>
export type ChoiceSetup = Omit<UpgradedSetup, 'site'>
export type SiteRequest = UpgradedSetup['site']
export type ChoiceTarget = UpgradesRequest['target']
export type ChoiceGoal = Plain<z.infer<typeof ComparedGoalSchema>>
export type NightRequest = Plain<z.infer<typeof ComparedNightSchema>>
export type ChoiceChannel = NonNullable<ChoiceSetup['channels']>[number]

/** One light of a target: its continuum, or one line. */
export interface Light {
  target: TargetRequest
  /** The line's name; null for a continuum. */
  line: string | null
  pointer: string
}

/** The lights of a target, each of which must reach the goal. */
export function lightsOf(asked: ChoiceTarget, pointer: string, notes: Notes): Light[] {
  const { lines, ...target } = asked
  const isExtended = hasExtended(target) || target.rayleighs !== undefined
  if (!isExtended && (hasStar(target) || lines === undefined)) {
    notes.broken(
      pointer,
      'has no extended part; give surfaceMagPerArcsec2, line with rayleighs, electronsPerPixelSecond, or lines',
    )
  }
  return [
    ...(isExtended ? [{ target, line: target.line ?? null, pointer }] : []),
    ...(lines ?? []).map((line, index) => ({
      target: line,
      line: line.line,
      pointer: `${pointer}/lines/${index}`,
    })),
  ]
}

/** The exposure series of a set-up: its channels, or the one behind its filter. */
export function channelsOfSetup(setup: ChoiceSetup, pointer: string, notes: Notes): ChoiceChannel[] {
  if (setup.channels !== undefined && setup.filter !== undefined) {
    notes.broken(`${pointer}/filter`, 'stands beside `channels`, which hold their own filters; give one of the two')
  }
  return setup.channels ?? [setup.filter === undefined ? {} : { filter: setup.filter }]
}

/** Where the filter of a channel stands. */
export function filterPointer(setup: ChoiceSetup, pointer: string, channel: number): string {
  return setup.channels === undefined ? `${pointer}/filter` : `${pointer}/channels/${channel}/filter`
}

/** A channel's name: its own, or its filter's. */
export function channelName({ name, filter }: ChoiceChannel): string {
  return name ?? filterName(filter)
}

function filterName(filter: FilterRequest | undefined): string {
  if (filter === undefined) return 'no filter'
  if ('band' in filter) return filter.band === 'none' ? 'no filter' : filter.band
  return 'centerNm' in filter ? `${short(filter.centerNm)} nm` : 'measured filter'
}

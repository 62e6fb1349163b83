// The README's table: what the four members of Heron Ridge are advised under both skies.

import { GARDEN, H_ALPHA_7NM, MEADOW, MEMBERS } from '../../src/contract/heron-ridge.ts'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'
import { spokenSeconds } from '../../src/setup/words.ts'

const SKIES = { 'garden, 18.9 mag/arcsec²': GARDEN, 'meadow, 21.5 mag/arcsec²': MEADOW }
const FILTERS = { broadband: { band: 'luminance' }, 'H-alpha 7 nm': H_ALPHA_7NM } as const
const TARGETS = {
  broadband: { surfaceMagPerArcsec2: 22.5 },
  'H-alpha 7 nm': { line: 'h-alpha', rayleighs: 40 },
} as const

export interface AdviceRow {
  member: keyof typeof MEMBERS
  filter: keyof typeof FILTERS
  sky: keyof typeof SKIES
  subSeconds: number
  range: string
  limitedBy: string
  skyElectronsPerPixelSecond: number
}

/** Every member, filter and sky. Consumer cameras are used without a broadband filter. */
export function adviceRows(): AdviceRow[] {
  const rows: AdviceRow[] = []
  for (const sky of Object.keys(SKIES) as (keyof typeof SKIES)[]) {
    for (const filter of Object.keys(FILTERS) as (keyof typeof FILTERS)[]) {
      for (const member of Object.keys(MEMBERS) as (keyof typeof MEMBERS)[]) {
        const { camera, optics, plan } = MEMBERS[member]
        const bare = filter === 'broadband' && 'like' in camera
        const answer = subExposure.handle({
          camera,
          optics,
          plan,
          sky: SKIES[sky],
          target: TARGETS[filter],
          ...(!bare && { filter: FILTERS[filter] }),
        })
        const { fromSeconds, toSeconds } = answer.usefulRange
        rows.push({
          member,
          filter,
          sky,
          subSeconds: answer.recommended.subSeconds,
          range: `${spokenSeconds(fromSeconds)} to ${toSeconds === null ? 'any' : spokenSeconds(toSeconds)}`,
          limitedBy: answer.limitedBy,
          skyElectronsPerPixelSecond:
            answer.channels.find(({ channel }) => channel === answer.channel)?.rates.skyElectronsPerPixelSecond ?? NaN,
        })
      }
    }
  }
  return rows
}

/** The table in Markdown. */
export function adviceTable(): string {
  const lines = adviceRows().map(
    (row) =>
      `| ${row.sky} | ${row.filter} | ${row.member} | ${spokenSeconds(row.subSeconds)} | ${row.range} | ${row.limitedBy} |`,
  )
  return ['| sky | filter | set-up | sub | as good | set by |', '| --- | --- | --- | --- | --- | --- |', ...lines].join(
    '\n',
  )
}

// Frames whose ends are cut off.

import type { FrameAnalysis } from '../../frames/index.ts'
import type { Notes } from '../../setup/notes.ts'
import { short, spokenShare } from '../../setup/words.ts'

/** Share of the pixels at the lowest code that is worth a word: of a clean frame's noise hardly any reach so far down. */
const DARK_CLIPPED_SHARE = 1e-3

/** True where more than half of the pixels are clipped: what is in the middle of them tells of no sky. */
export function isBackgroundClipped({ clippedShare }: { clippedShare: number | null }): boolean {
  return clippedShare !== null && clippedShare > 0.5
}

/** Says what the ends of the range did to the figures. */
export function cautionClipped({ conditions, planes }: FrameAnalysis, notes: Notes): void {
  if (conditions.includes('all-clipped')) {
    notes.caution('Every pixel is clipped: nothing can be told of the sky.')
    return
  }
  if (planes.some(isBackgroundClipped)) {
    notes.caution('More than half of the pixels are clipped: nothing can be told of the sky.')
  }
  if (conditions.includes('constant')) return
  const darkest = planes.reduce((most, plane) => (plane.darkClippedShare > most.darkClippedShare ? plane : most))
  if (darkest.darkClippedShare <= DARK_CLIPPED_SHARE) return
  const whose = planes.length > 1 ? `${darkest.channel} pixels` : 'pixels'
  notes.caution(
    `${spokenShare(darkest.darkClippedShare)} of the ${whose} stand at ${short(darkest.minimumAdu)} ADU, the lowest there is: unless that is an empty border, the camera’s offset is too low, and background and noise are biased.`,
  )
}

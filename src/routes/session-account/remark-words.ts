import type { RemarkKind } from './remarks.ts'

/** What was made of odd lines. */
export const REMARK_WORDS: Readonly<Record<RemarkKind, string>> = {
  'clock-backwards':
    'They begin before the line above them. The log was put in the order of time; where one line alone steps back to a time that cannot be, it counts right after the line above.',
  overlapping:
    'They overlap the sub before, as those of two cameras do. Both count, each with its own time; the night counts shared time once.',
  duplicate: 'They have start, filter and length of another line. Such a line counts once.',
  'background-below-dark': 'Their background lies below offset and dark current together. Their sky counts as none.',
  'no-background': 'Nothing is said of their background. The reference sky stands in.',
  'no-star-flux': 'Nothing is said of their star flux. They count as clear.',
}

const LINES = (count: number) => (count === 1 ? 'One line' : `${count} lines`)

/** The same in a sentence, for those that a reader must know of; null for what many logs leave out. */
export const REMARK_SENTENCES: Readonly<Record<RemarkKind, ((count: number) => string) | null>> = {
  'clock-backwards': (count) =>
    `The clock runs backwards at ${LINES(count).toLowerCase()}; the log was put in the order of time.`,
  overlapping: (count) =>
    `${LINES(count)} overlap${count === 1 ? 's' : ''} the sub before, as with two cameras: each sub counts with its own time.`,
  duplicate: (count) =>
    `${LINES(count)} repeat${count === 1 ? 's' : ''} another and ${count === 1 ? 'is' : 'are'} left out.`,
  'background-below-dark': (count) =>
    `${LINES(count)} show${count === 1 ? 's' : ''} less background than offset and dark current make; the sky counts as none there. Check the offset.`,
  'no-background': null,
  'no-star-flux': null,
}

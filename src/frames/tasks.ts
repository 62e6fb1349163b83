// What passes between the pool and its workers.

import type { EmptyChannel, PictureMeasurements, PictureStatistics } from './measurements.ts'
import type { Outstanding } from './outstanding.ts'
import type { FramePair, PairStatistics } from './pair-statistics.ts'
import type { SharedPicture } from './picture.ts'
import type { Strip } from './strip.ts'

/** What a worker is asked, and what it answers. */
export type PictureTask =
  | { kind: 'strip'; picture: SharedPicture; strip: Strip }
  | { kind: 'statistics'; picture: SharedPicture; saturationAdu: number | undefined }
  | { kind: 'finish'; picture: SharedPicture; outstanding: Outstanding; saturationAdu: number | undefined }
  | { kind: 'pair'; pair: FramePair }

export interface PictureAnswers {
  strip: Outstanding
  statistics: PictureStatistics | EmptyChannel
  finish: PictureMeasurements | EmptyChannel
  pair: PairStatistics
}

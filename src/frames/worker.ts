// A worker's side of the pool.

import { finishPicture } from './finish.ts'
import { pairStatistics } from './pair-statistics.ts'
import { pictureStatistics } from './picture-statistics.ts'
import { measureStrip } from './strip.ts'
import type { PictureAnswers, PictureTask } from './tasks.ts'

/** Answers one task; the pool calls it. */
export default function answer(task: PictureTask): PictureAnswers[PictureTask['kind']] {
  switch (task.kind) {
    case 'strip':
      return measureStrip(task.picture, task.strip)
    case 'statistics':
      return pictureStatistics(task.picture, task.saturationAdu)
    case 'finish':
      return finishPicture(task.picture, task.outstanding, task.saturationAdu)
    case 'pair':
      return pairStatistics(task.pair)
  }
}

// Subset of the example data shipped with the EMVA 1288 reference implementation (repository EMVA1288/emva1288, revision
// 2ed0b40, 2025; documentation example, 640 x 480 pixels, 12 bit): photons, mean and temporal variance, bright and dark.

import type { PhotonTransferLevel } from '../../../src/engine/detector/photon-transfer-levels.ts'

const ROWS = [
  [120, 30.97, 13.927, 14.72, 9.448],
  [2704, 360.6, 110.108, 14.73, 9.565],
  [5289, 690.23, 204.476, 14.69, 9.484],
  [7814, 1011.4, 295.377, 14.8, 9.404],
  [10_399, 1338.91, 386.668, 14.8, 9.393],
  [12_983, 1663.83, 476.157, 14.78, 9.448],
  [15_568, 1989.49, 555.858, 14.76, 9.562],
  [18_093, 2305.27, 645.66, 14.76, 9.439],
  [20_678, 2627.74, 737.333, 14.78, 9.565],
] as const

/** Table T-1 of the reference checks, from dark to bright. */
export const EMVA_EXAMPLE: readonly PhotonTransferLevel[] = ROWS.map(
  ([photonsPerPixel, meanAdu, temporalVarianceAdu2, darkMeanAdu, darkTemporalVarianceAdu2]) => ({
    photonsPerPixel,
    meanAdu,
    temporalVarianceAdu2,
    darkMeanAdu,
    darkTemporalVarianceAdu2,
  }),
)

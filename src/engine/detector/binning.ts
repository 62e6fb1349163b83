// From physical pixels to pixels of the frame. Charge summed on the chip is read once; numbers summed afterwards carry the
// noise of every read and the room of every well.

import type { Readout } from '../exposure/noise.ts'

/**
 * Readout and room of one pixel of a frame binned m × m.
 *
 *     on chip: R, well; in software: m R, m² well
 *
 * @param input.binning  m, whole, ≥ 1
 * @param input.usableWell  of one physical pixel; null when unknown
 * @returns per pixel of the frame
 * @source Howell 2006, Handbook of CCD Astronomy, 2nd ed., 3.4 (from memory)
 */
export function binnedReadout(input: {
  binning: number
  binningKind: 'on-chip' | 'software'
  readNoiseElectrons: number
  quantizationElectrons2: number
  usableWell: { electrons: number } | null
}): { readout: Readout; usableWellElectrons: number | null } {
  const reads = input.binningKind === 'on-chip' ? 1 : input.binning ** 2
  return {
    readout: {
      readNoiseElectrons: input.readNoiseElectrons * Math.sqrt(reads),
      quantizationElectrons2: input.quantizationElectrons2 * reads,
    },
    usableWellElectrons: input.usableWell === null ? null : input.usableWell.electrons * reads,
  }
}

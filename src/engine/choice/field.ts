// What a frame holds: its field on the sky, and its bytes on the disk.

import { requireInRange } from '../errors.ts'

/**
 * Angle that a side of the sensor sees.
 *
 *     2 arctan(size/(2 f))
 *
 * @param input.sizeMm  > 0
 * @param input.focalLengthMm  > 0
 * @returns degrees
 * @throws {EngineError} `out-of-range`
 * @derived rectilinear projection about the optical axis
 */
export function fieldDegrees(input: { sizeMm: number; focalLengthMm: number }): number {
  requireInRange('sizeMm', input.sizeMm, Number.MIN_VALUE)
  requireInRange('focalLengthMm', input.focalLengthMm, Number.MIN_VALUE)
  return (2 * Math.atan(input.sizeMm / (2 * input.focalLengthMm)) * 180) / Math.PI
}

/**
 * Bytes of one uncompressed raw frame.
 *
 * @param input.pixels  of the frame, ≥ 1
 * @param input.bitDepth  1 to 32; a pixel takes one, two or four bytes
 * @returns bytes
 * @throws {EngineError} `out-of-range`
 * @derived pixels · bytes, as FITS (IAU FITS 4.0) stores whole numbers
 */
export function frameBytes({ pixels, bitDepth }: { pixels: number; bitDepth: number }): number {
  requireInRange('pixels', pixels, 1)
  requireInRange('bitDepth', bitDepth, 1, 32)
  if (bitDepth <= 8) return pixels
  return bitDepth <= 16 ? 2 * pixels : 4 * pixels
}

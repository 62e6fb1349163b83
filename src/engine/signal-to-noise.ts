// The one currency. Set-ups are compared per unit of sky, since pixels of different scale are not the same question.

/**
 * Signal-to-noise ratio of one square arcsecond of an evenly bright patch.
 *
 *     SNR per arcsec² = SNR per pixel · √(f/p²)
 *
 * @param input.snrPerPixel  ≥ 0
 * @param input.samplingFraction  share of the pixels that see this colour, 0 to 1
 * @param input.pixelScaleArcsec  side of a pixel on the sky, > 0
 * @returns ≥ 0
 * @derived f/p² independent pixels fall on a square arcsecond
 */
export function snrPerArcsec2(input: {
  snrPerPixel: number
  samplingFraction: number
  pixelScaleArcsec: number
}): number {
  return (input.snrPerPixel * Math.sqrt(input.samplingFraction)) / input.pixelScaleArcsec
}

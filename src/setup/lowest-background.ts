export interface Readings {
  readNoiseElectrons: number
  electronsPerAdu: number
  offsetAdu: number
}

/**
 * The lowest background in ADU that a median of a frame without light shows: it falls below the offset by chance, but not
 * by more than twice the noise of a pixel, or by two ADU where that is less. Common practice, no source.
 */
export function lowestBackgroundAdu({ readNoiseElectrons, electronsPerAdu, offsetAdu }: Readings): number {
  return offsetAdu - Math.max(2, (2 * readNoiseElectrons) / electronsPerAdu)
}

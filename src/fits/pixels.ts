// Samples: big-endian in the file, in the machine's order once decoded. All machines this runs on are little-endian.
// FITS Standard 4.0 (IAU FITS Working Group 2018), sections 5.2 and 5.3.

import type { BitsPerSample, SampleScale } from './image.ts'

/** Samples in the machine's order; unsigned bytes are widened so that integers up to 16 bits are one kind. */
export type Samples = Int16Array | Int32Array | Float32Array | Float64Array

/** Bytes a sample takes once decoded. */
export function decodedSampleBytes(bitsPerSample: BitsPerSample): 2 | 4 | 8 {
  return bitsPerSample === 8 ? 2 : ((Math.abs(bitsPerSample) / 8) as 2 | 4 | 8)
}

/**
 * A view of decoded samples.
 *
 * @param from  first sample
 * @param count  samples
 */
export function viewSamples(
  buffer: ArrayBufferLike,
  bitsPerSample: BitsPerSample,
  from: number,
  count: number,
): Samples {
  const offset = from * decodedSampleBytes(bitsPerSample)
  switch (bitsPerSample) {
    case 8:
    case 16:
      return new Int16Array(buffer, offset, count)
    case 32:
      return new Int32Array(buffer, offset, count)
    case -32:
      return new Float32Array(buffer, offset, count)
    case -64:
      return new Float64Array(buffer, offset, count)
  }
}

/**
 * Turns samples from the file's order into the machine's, in place. Bytes widened by {@link placeBytes} are left alone.
 *
 * @param from  first sample
 * @param count  samples
 */
export function decodeInPlace(
  buffer: ArrayBufferLike,
  bitsPerSample: BitsPerSample,
  from: number,
  count: number,
): void {
  const size = decodedSampleBytes(bitsPerSample)
  const bytes = Buffer.from(buffer, from * size, count * size)
  if (bitsPerSample === 8) return
  if (size === 2) bytes.swap16()
  else if (size === 4) bytes.swap32()
  else bytes.swap64()
}

/**
 * Puts bytes of the file where {@link decodeInPlace} expects them.
 *
 * @param target  room for the decoded samples
 * @param bytesBefore  bytes of the file's data that went before
 */
export function placeBytes(
  target: Uint8Array,
  bitsPerSample: BitsPerSample,
  bytesBefore: number,
  bytes: Uint8Array,
): void {
  if (bitsPerSample !== 8) {
    target.set(bytes, bytesBefore)
    return
  }
  const wide = new Int16Array(target.buffer, target.byteOffset + 2 * bytesBefore, bytes.length)
  wide.set(bytes)
}

/** Physical value of a sample. */
export function physicalAdu(scale: SampleScale, sample: number): number {
  return scale.zeroAdu + scale.scaleAdu * sample
}

/** The sample, not necessarily a whole one, that stands for a physical value. */
export function sampleOf(scale: SampleScale, adu: number): number {
  return (adu - scale.zeroAdu) / scale.scaleAdu
}

/** Largest sample the type can hold; null for floating point, which has no such limit in practice. */
export function largestSample(bitsPerSample: BitsPerSample): number | null {
  return bitsPerSample < 0 ? null : bitsPerSample === 8 ? 255 : 2 ** (bitsPerSample - 1) - 1
}

/** The lowest code of an integer type; null for floating point. */
export function smallestSample(bitsPerSample: BitsPerSample): number | null {
  return bitsPerSample < 0 ? null : bitsPerSample === 8 ? 0 : -(2 ** (bitsPerSample - 1))
}

/** Floating-point samples beyond this are taken for damage: their squares would overflow. */
export const LARGEST_MAGNITUDE = 1e100

/**
 * True for a pixel that holds no value: the blank sample, NaN, an infinity, or a number beyond any use.
 *
 * @param blank  the blank sample; NaN, which nothing equals, for none
 */
export function isMissing(blank: number, sample: number): boolean {
  return sample === blank || !(Math.abs(sample) <= LARGEST_MAGNITUDE)
}

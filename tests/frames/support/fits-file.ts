// Writes FITS files for the tests, card by card, so that a test can also write ones that break the rules.

export const BLOCK_BYTES = 2880

export type CardValue = number | boolean | string

/** One card in fixed format: numbers and logicals end in column 30, strings begin in column 11. */
export function card(keyword: string, value: CardValue, comment = ''): string {
  const text = typeof value === 'string' ? `'${value.replaceAll("'", "''").padEnd(8)}'` : fixed(value).padStart(20)
  return `${keyword.padEnd(8)}= ${text}${comment && ` / ${comment}`}`.slice(0, 80).padEnd(80)
}

/** A header out of cards, END and padding added. */
export function header(cards: readonly string[]): Buffer {
  const text = [...cards.map((line) => line.padEnd(80)), 'END'.padEnd(80)].join('')
  return Buffer.from(text.padEnd(Math.ceil(text.length / BLOCK_BYTES) * BLOCK_BYTES), 'latin1')
}

export interface ImageCards {
  bitsPerSample: 8 | 16 | 32 | -32 | -64
  axes: readonly number[]
  others?: readonly string[]
}

export function imageCards({ bitsPerSample, axes, others = [] }: ImageCards): string[] {
  return [
    card('SIMPLE', true),
    card('BITPIX', bitsPerSample),
    card('NAXIS', axes.length),
    ...axes.map((length, axis) => card(`NAXIS${axis + 1}`, length)),
    ...others,
  ]
}

/** Samples as the file holds them: big-endian, padded to whole blocks. */
export function data(samples: ArrayLike<number>, bitsPerSample: ImageCards['bitsPerSample']): Buffer {
  const size = Math.abs(bitsPerSample) / 8
  const bytes = Buffer.alloc(Math.ceil((samples.length * size) / BLOCK_BYTES) * BLOCK_BYTES)
  for (let index = 0; index < samples.length; index++) {
    const sample = samples[index] ?? 0
    if (bitsPerSample === 8) bytes.writeUInt8(sample, index)
    else if (bitsPerSample === 16) bytes.writeInt16BE(sample, 2 * index)
    else if (bitsPerSample === 32) bytes.writeInt32BE(sample, 4 * index)
    else if (bitsPerSample === -32) bytes.writeFloatBE(sample, 4 * index)
    else bytes.writeDoubleBE(sample, 8 * index)
  }
  return bytes
}

/** An unsigned 16-bit picture, as cameras write it: signed samples with BZERO 32768. */
export function unsignedFile(adu: ArrayLike<number>, axes: readonly number[], others: readonly string[] = []): Buffer {
  const cards = imageCards({ bitsPerSample: 16, axes, others: [card('BSCALE', 1), card('BZERO', 32768), ...others] })
  const samples = Int16Array.from(adu, (value) => value - 32768)
  return Buffer.concat([header(cards), data(samples, 16)])
}

/** A file of any sample type without scaling. */
export function plainFile(
  samples: ArrayLike<number>,
  bitsPerSample: ImageCards['bitsPerSample'],
  axes: readonly number[],
  others: readonly string[] = [],
): Buffer {
  return Buffer.concat([header(imageCards({ bitsPerSample, axes, others })), data(samples, bitsPerSample)])
}

/** Chunks of a body, as a connection would deliver them. */
export async function* chunks(bytes: Uint8Array, size = 65_536): AsyncGenerator<Uint8Array> {
  for (let start = 0; start < bytes.length; start += size) {
    await Promise.resolve()
    yield bytes.subarray(start, start + size)
  }
}

function fixed(value: number | boolean): string {
  return typeof value === 'boolean' ? (value ? 'T' : 'F') : String(value).toUpperCase()
}

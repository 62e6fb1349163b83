// Structure-aware fuzzing: headers are built of keywords and values that matter, then cut, doubled, shuffled and damaged.

import type { Random } from '../../support/random.ts'
import { header, imageCards, type ImageCards } from './fits-file.ts'

const KEYWORDS = [
  'SIMPLE BITPIX NAXIS NAXIS1 NAXIS2 NAXIS3 NAXIS4 BSCALE BZERO BLANK GROUPS EXTEND XTENSION ZIMAGE PCOUNT GCOUNT',
  'BAYERPAT COLORTYP XBAYROFF YBAYROFF EXPTIME EXPOSURE CCD-TEMP EGAIN CONTINUE COMMENT HISTORY END',
].flatMap((line) => line.split(' '))

const VALUES = [
  ...['T', 'F', '0', '1', '2', '3', '4', '8', '16', '32', '64', '-32', '-64', '-1', '20', '24', '32768', '999', '1000'],
  ...['2147483647', '9007199254740993', '1e300', '-1e300', '1D-300', '1e999', '0.5', '.', '-', '+', 'NaN', 'Infinity'],
  ...['(1, 2)', '', '/', "''", "'RGGB    '", "'GBRG'", "'IMAGE   '", "'BINTABLE'", "'open", "'a''b&'", 'Â°', '\0\0'],
]

export function pick<T>(random: Random, items: readonly T[]): T {
  const item = items[Math.floor(random.uniform() * items.length)]
  if (item === undefined) throw new Error('Nothing to pick from.')
  return item
}

function startImage(random: Random): ImageCards & { others: string[] } {
  const axes = pick(random, [
    [24, 20],
    [24, 20, 1],
    [12, 10, 3],
    [1, 200],
    [200, 1],
    [3, 3],
    [2, 2],
    [37, 29],
  ])
  const others = Array.from({ length: Math.floor(random.uniform() * 4) }, () => randomCard(random))
  return { bitsPerSample: pick(random, [8, 16, 32, -32, -64] as const), axes, others }
}

function randomCard(random: Random): string {
  const indicator = pick(random, ['= ', '= ', '= ', '= ', '=', '  ', ' ='])
  return `${pick(random, KEYWORDS).padEnd(8)}${indicator}${pick(random, VALUES)}`.padEnd(80).slice(0, 80)
}

function mutateCards(random: Random, cards: string[]): void {
  // More often a later card: a header that breaks at its first one tells little.
  const at = Math.floor(Math.sqrt(random.uniform()) * cards.length)
  const way = Math.floor(random.uniform() * 6)
  if (way === 0) cards.splice(at, 1)
  else if (way === 1) cards.splice(at, 0, cards[at] ?? '')
  else if (way === 2) cards.splice(at, 0, randomCard(random))
  else if (way === 3) cards.push(randomCard(random))
  else if (way === 4) cards.push(...cards.splice(at, 1))
  else cards[at] = `${(cards[at] ?? '').slice(0, 10)}${pick(random, VALUES)}`.padEnd(80).slice(0, 80)
}

function mutateBytes(random: Random, bytes: Buffer): Buffer {
  const way = random.uniform()
  const at = Math.floor(random.uniform() * bytes.length)
  if (way < 0.3) bytes.writeUInt8(bytes.readUInt8(at) ^ (1 << Math.floor(random.uniform() * 8)), at)
  else if (way < 0.4) return bytes.subarray(0, Math.floor(random.uniform() * bytes.length))
  else if (way < 0.45) return Buffer.concat([bytes, bytes.subarray(0, 2880)])
  return bytes
}

/** A small file whose header, and now and then its bytes, are damaged. */
export function fuzzedFile(random: Random): Buffer {
  const image = startImage(random)
  const cards = imageCards(image)
  const mutations = Math.floor(random.uniform() * 4)
  for (let count = 0; count < mutations; count++) mutateCards(random, cards)
  const pixels = image.axes.reduce((product, length) => product * length, 1)
  const blocks = Math.ceil((pixels * Math.abs(image.bitsPerSample)) / 8 / 2880)
  const samples = Buffer.alloc(2880 * (random.uniform() < 0.7 ? blocks : Math.floor(random.uniform() * 4)))
  // Bytes of every value: as floating point among them numbers near zero and near overflow, infinities and NaN.
  for (let at = 0; at < samples.length; at++) samples[at] = random.uniform() * 256
  return mutateBytes(random, Buffer.concat([header(cards), samples]))
}

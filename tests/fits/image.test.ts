import t from 'tap'

import { FitsHeader } from '../../src/fits/header.ts'
import { dataBytes, imageOf, sampleBytes } from '../../src/fits/image.ts'
import { noImageError } from '../../src/fits/no-image.ts'
import { card, imageCards } from '../frames/support/fits-file.ts'

const image = (axes: readonly number[], others: readonly string[] = [], bitsPerSample: 8 | 16 | 32 | -32 | -64 = 16) =>
  imageOf(new FitsHeader(imageCards({ axes, others, bitsPerSample })))

const ofCards = (cards: readonly string[]) => imageOf(new FitsHeader(cards))

void t.test('a camera frame: size, scale, pattern and hints', (t) => {
  const others = [
    card('BZERO', 32768),
    card('BAYERPAT', 'GRBG'),
    card('EXPTIME', 120.5),
    card('CCD-TEMP', -10),
    card('EGAIN', 0.8),
  ]
  t.strictSame(image([6240, 4168], others), {
    widthPx: 6240,
    heightPx: 4168,
    planeCount: 1,
    bitsPerSample: 16,
    scale: { zeroAdu: 32768, scaleAdu: 1 },
    blankSample: null,
    bayerPattern: 'GRBG',
    hints: {
      ...{ exposureSeconds: 120.5, exposureCards: 'EXPTIME 120.5', temperatureCelsius: -10 },
      ...{ electronsPerAdu: 0.8, unknownPattern: null },
    },
  })
  t.end()
})

void t.test('hints are read where they are numbers and never refused', (t) => {
  const others = [card('EXPTIME', 'long'), card('EXPOSURE', 30), card('CCD-TEMP', 'cold')]
  t.match(image([4, 4], others)?.hints, { exposureSeconds: 30, temperatureCelsius: null, electronsPerAdu: null })
  t.end()
})

void t.test('exposures that differ leave none, and what is no number is told', (t) => {
  const exposure = (...cards: string[]) => {
    const { exposureSeconds, exposureCards } = image([4, 4], cards)?.hints ?? {}
    return [exposureSeconds, exposureCards]
  }
  t.same(exposure(), [null, null])
  t.same(exposure('EXPTIME ='), [null, null], 'no value')
  t.same(exposure(card('EXPTIME', 30), card('EXPTIME', 30.01)), [30, 'EXPTIME 30 beside EXPTIME 30.01'], 'the same')
  t.same(exposure(card('EXPTIME', 30), card('EXPTIME', 60)), [null, 'EXPTIME 30 beside EXPTIME 60'])
  t.same(exposure(card('EXPOSURE', 60), card('EXPTIME', 30)), [null, 'EXPTIME 30 beside EXPOSURE 60'])
  t.same(exposure(card('EXPTIME', '2 min')), [null, 'EXPTIME “2 min”'])
  t.same(exposure('EXPTIME = T'), [null, 'EXPTIME true'])
  t.same(exposure('EXPTIME = (1, 2)'), [null, 'EXPTIME (complex)'])
  t.same(exposure(`EXPTIME = '${'x'.repeat(50)}'`), [null, `EXPTIME “${'x'.repeat(40)}…”`])
  t.same(exposure('EXPTIME = 1\u00072'), [null, 'EXPTIME “12”'])
  t.end()
})

void t.test('a pattern that is none of the four is told; mono cameras’ words for none are not', (t) => {
  const named = (...cards: string[]) => image([4, 4], cards)?.hints.unknownPattern
  t.equal(named(card('BAYERPAT', 'XTRANS')), 'BAYERPAT “XTRANS”')
  t.equal(named(card('BAYERPAT', 7)), 'BAYERPAT 7')
  t.equal(named(card('BAYERPAT', 'XTRANS'), card('COLORTYP', 'RGGB')), null)
  t.equal(named(card('BAYERPAT', 'none'), card('COLORTYP', 'CYGM')), 'COLORTYP “CYGM”')
  t.equal(named(card('BAYERPAT', 'Mono'), 'COLORTYP='), null)
  t.end()
})

void t.test('a third axis of 1 or 3, and further ones of 1', (t) => {
  t.equal(image([8, 6, 3])?.planeCount, 3)
  t.equal(image([8, 6, 1])?.planeCount, 1)
  t.equal(image([8, 6, 3, 1, 1])?.planeCount, 3)
  for (const axes of [[8], [8, 6, 2], [8, 6, 4], [8, 6, 3, 2]]) {
    t.throws(() => image(axes), { code: 'axes-unsupported' }, axes.join(' x '))
  }
  t.end()
})

void t.test('data bytes of every sample type', (t) => {
  const sizes = ([8, 16, 32, -32, -64] as const).map((bits) => sampleBytes(bits))
  t.strictSame(sizes, [1, 2, 4, 4, 8])
  const picture = image([10, 7, 3], [], -64)
  t.equal(picture && dataBytes(picture), 10 * 7 * 3 * 8)
  t.end()
})

void t.test('BLANK counts for integers only', (t) => {
  t.equal(image([4, 4], [card('BLANK', -32768)])?.blankSample, -32768)
  t.equal(image([4, 4], [card('BLANK', 0)], -32)?.blankSample, null)
  t.throws(() => image([4, 4], [card('BLANK', 0.5)]), { code: 'value-not-allowed', details: { card: 'BLANK' } })
  t.end()
})

void t.test('scales that cannot be used are refused', (t) => {
  for (const scale of [0, -1, 1e31, 1e-31]) {
    t.throws(() => image([4, 4], [card('BSCALE', scale)]), { code: 'scale-unsupported', details: { card: 'BSCALE' } })
  }
  t.throws(() => image([4, 4], [card('BZERO', -2e30)]), { code: 'scale-unsupported', details: { card: 'BZERO' } })
  t.end()
})

void t.test('Bayer patterns: keywords in order, any case, shifted by the offsets', (t) => {
  const pattern = (...others: string[]) => image([4, 4], others)?.bayerPattern
  t.equal(pattern(card('BAYERPAT', 'rggb')), 'RGGB')
  t.equal(pattern(card('COLORTYP', 'BGGR')), 'BGGR')
  t.equal(pattern(card('BAYERPAT', 'TRUE'), card('COLORTYP', 'GBRG')), 'GBRG')
  t.equal(pattern(card('BAYERPAT', 'RGBG')), null)
  t.equal(pattern(card('BAYERPAT', 7)), null)
  t.equal(pattern(card('BAYERPAT', 'RGGB'), card('XBAYROFF', 1)), 'GRBG')
  t.equal(pattern(card('BAYERPAT', 'RGGB'), card('YBAYROFF', -1)), 'GBRG')
  t.equal(pattern(card('BAYERPAT', 'RGGB'), card('XBAYROFF', 3), card('YBAYROFF', 1)), 'BGGR')
  t.equal(pattern(card('BAYERPAT', 'RGGB'), card('XBAYROFF', 0.5)), 'RGGB')
  t.end()
})

void t.test('FITS 4.0, 4.4.1.1: the mandatory keywords, in their order and of their type', (t) => {
  const good = imageCards({ axes: [4, 4], bitsPerSample: 16 })
  const without = (index: number): string[] => good.filter((_, at) => at !== index)
  const instead = (index: number, line: string): string[] => good.map((old, at) => (at === index ? line : old))
  for (const [index, keyword] of ['SIMPLE', 'BITPIX', 'NAXIS', 'NAXIS1', 'NAXIS2'].entries()) {
    t.throws(() => ofCards(without(index)), { code: 'keyword-missing', details: { card: keyword } }, `no ${keyword}`)
  }
  t.throws(() => ofCards([]), { code: 'keyword-missing', details: { card: 'SIMPLE' } })
  t.throws(() => ofCards(instead(0, card('SIMPLE', false))), { code: 'not-standard' })
  t.throws(() => ofCards(instead(0, card('SIMPLE', 1))), { code: 'value-unreadable', details: { card: 'SIMPLE' } })
  t.throws(() => ofCards(instead(1, card('BITPIX', 12))), { code: 'value-not-allowed', details: { card: 'BITPIX' } })
  t.throws(() => ofCards(instead(1, card('BITPIX', 64))), { code: 'value-not-allowed', details: { given: 64 } })
  t.throws(() => ofCards(instead(1, card('BITPIX', 8.5))), { code: 'value-unreadable' })
  t.throws(() => ofCards(instead(2, card('NAXIS', -1))), { code: 'value-not-allowed' })
  t.throws(() => ofCards(instead(2, card('NAXIS', 1000))), { code: 'value-not-allowed' })
  t.throws(() => ofCards(instead(3, card('NAXIS1', -4))), { code: 'value-not-allowed', details: { card: 'NAXIS1' } })
  t.throws(() => ofCards(instead(3, 'NAXIS1  ='.padEnd(80))), { code: 'value-unreadable', details: { card: 'NAXIS1' } })
  t.throws(() => ofCards([...good, card('BITPIX', 8)]), { code: 'keyword-repeated', details: { card: 'BITPIX' } })
  t.end()
})

void t.test('no pixels: none declared, an empty axis, random groups', (t) => {
  t.equal(image([]), undefined)
  t.throws(() => image([4, 0]), { code: 'zero-size', details: { card: 'NAXIS2' } })
  t.throws(() => image([0, 4]), { code: 'zero-size', details: { card: 'NAXIS1' } })
  t.throws(() => image([0, 4], [card('GROUPS', true)]), { code: 'random-groups' })
  t.end()
})

void t.test('an empty primary part: what follows tells why it is refused', (t) => {
  const code = (...cards: string[]): string => noImageError(new FitsHeader(cards)).code
  t.equal(code(), 'no-image')
  t.equal(code(card('XTENSION', 'IMAGE')), 'image-in-extension')
  t.equal(code(card('XTENSION', 'BINTABLE'), card('ZIMAGE', true)), 'tile-compressed')
  t.equal(code(card('XTENSION', 'BINTABLE')), 'no-image')
  t.equal(code(card('XTENSION', 7)), 'no-image')
  t.end()
})

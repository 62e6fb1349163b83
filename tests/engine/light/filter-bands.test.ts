import t from 'tap'
import { curveSegments, segmentsAt } from '../../../src/engine/light/curve.ts'
import type { Filter } from '../../../src/engine/light/filter-bands.ts'
import { BROAD_BANDS, filterTransmission } from '../../../src/engine/light/filter-bands.ts'
import { near, refuses } from '../../support/near.ts'

const at = (filter: Filter, wavelengthNm: number): number =>
  segmentsAt(curveSegments(filterTransmission(filter)), wavelengthNm)

void t.test('broad bands pass their band and nothing else (common practice)', (t) => {
  for (const [band, { fromNm, toNm, transmission }] of Object.entries(BROAD_BANDS)) {
    const filter = { band: band as keyof typeof BROAD_BANDS }
    near(t, at(filter, fromNm + 0.01), transmission, 1e-12, `${band}, short end`)
    near(t, at(filter, toNm - 0.01), transmission, 1e-12, `${band}, long end`)
    t.equal(at(filter, fromNm - 0.01), 0, `${band}, before it`)
    t.equal(at(filter, toNm + 0.01), 0, `${band}, after it`)
  }
  t.equal(at({ band: 'none' }, 300.1), 1, 'no filter takes nothing away')
  t.end()
})

void t.test('line bands are 7 nm wide about their line unless told otherwise, and pass 0.90', (t) => {
  for (const [band, centerNm] of [
    ['h-alpha', 656.3],
    ['h-beta', 486.1],
    ['o-iii', 500.7],
    ['s-ii', 672.4],
  ] as const) {
    near(t, at({ band }, centerNm + 3.4), 0.9, 1e-12, band)
    t.equal(at({ band }, centerNm + 3.6), 0, `${band}, outside`)
    near(t, at({ band, widthNm: 3 }, centerNm - 1.4), 0.9, 1e-12, `${band} of 3 nm`)
    t.equal(at({ band, widthNm: 3 }, centerNm - 1.6), 0, `${band} of 3 nm, outside`)
  }
  t.end()
})

void t.test('a dual-narrowband filter passes H-alpha and [O III] and nothing between', (t) => {
  const filter = { band: 'dual-narrowband' } as const
  near(t, at(filter, 500.684), 0.9, 1e-12, '[O III]')
  near(t, at(filter, 656.28), 0.9, 1e-12, 'H-alpha')
  t.equal(at(filter, 580), 0)
  near(t, at({ ...filter, widthNm: 100 }, 540), 0.9, 1e-12, 'wide ones stay apart too')
  t.equal(at({ ...filter, widthNm: 100 }, 580), 0)
  t.end()
})

void t.test('a top hat and a table are taken as given', (t) => {
  const topHat = { centerNm: 545, widthNm: 85, transmission: 0.7 }
  near(t, at(topHat, 503), 0.7, 1e-12, 'inside')
  t.equal(at(topHat, 502), 0, 'outside')
  const curve = [
    { wavelengthNm: 500, transmission: 0 },
    { wavelengthNm: 510, transmission: 0.8 },
  ]
  near(t, at({ curve }, 505), 0.4, 1e-12, 'table')
  t.end()
})

void t.test('what is no filter is refused', (t) => {
  const topHat = { centerNm: 545, widthNm: 85, transmission: 0.7 }
  refuses(t, () => filterTransmission({ ...topHat, centerNm: 250 }), 'out-of-range', 'centre')
  refuses(t, () => filterTransmission({ ...topHat, widthNm: 0 }), 'out-of-range', 'width')
  refuses(t, () => filterTransmission({ ...topHat, transmission: 2 }), 'out-of-range', 'transmission')
  refuses(t, () => filterTransmission({ band: 'o-iii', widthNm: 101 }), 'out-of-range', 'too wide for a line band')
  refuses(t, () => filterTransmission({ band: 'luminance', widthNm: 50 }), 'out-of-range', 'a width for a broad band')
  refuses(t, () => filterTransmission({ curve: [] }), 'not-enough-data', 'empty table')
  t.end()
})

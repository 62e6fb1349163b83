import t from 'tap'
import type { LightPath } from '../../../src/engine/light/channels.ts'
import { channelsOf } from '../../../src/engine/light/channels.ts'
import { responseAt } from '../../../src/engine/light/response.ts'
import { near, refuses } from '../../support/near.ts'
import { planeResponse } from './support.ts'

const path: LightPath = {
  color: 'mono',
  quantumEfficiency: 0.8,
  opticsTransmission: 0.9,
  filter: { band: 'h-alpha', widthNm: 5 },
  infraredBlocker: 'none',
}

void t.test('a mono sensor has one plane with all of its pixels', (t) => {
  const [channel, ...others] = channelsOf(path)
  t.same(others, [])
  t.equal(channel?.channel, 'mono')
  t.equal(channel?.samplingFraction, 1)
  near(t, responseAt(planeResponse(path), 656.28), 0.8 * 0.9 * 0.9, 1e-12, 'response at H-alpha')
  t.equal(responseAt(planeResponse(path), 640), 0, 'and beside the filter')
  t.end()
})

void t.test('a Bayer sensor has three planes behind dyes, and the blocker takes its share', (t) => {
  const planes = channelsOf({ ...path, color: 'bayer', infraredBlocker: 'photographic' })
  t.same(
    planes.map(({ channel, samplingFraction }) => [channel, samplingFraction]),
    [
      ['red', 0.25],
      ['green', 0.5],
      ['blue', 0.25],
    ],
  )
  const open: LightPath = { ...path, color: 'bayer' }
  for (const { response, channel } of planes) {
    const ratio = responseAt(response, 656.3) / responseAt(planeResponse(open, channel), 656.3)
    near(t, ratio, 0.25, 1e-12, `${channel} at H-alpha`)
  }
  near(t, responseAt(planeResponse(open, 'red'), 656.3), 0.8 * 0.9 * 0.9 * 0.9, 1e-12, 'red at H-alpha')
  t.end()
})

void t.test('the same question gives the same planes without working them out again', (t) => {
  const [plane] = channelsOf(path)
  const shapeOf = (other: LightPath) => channelsOf(other)[0]?.response.pieces
  t.equal(shapeOf(structuredClone(path)), plane?.response.pieces)
  const better = { ...path, quantumEfficiency: 0.9 }
  t.equal(shapeOf(better), plane?.response.pieces, 'a number changes the height alone')
  near(t, channelsOf(better)[0]?.response.scale ?? NaN, ((plane?.response.scale ?? NaN) * 0.9) / 0.8, 1e-14, 'scale')
  t.not(
    shapeOf({
      ...path,
      quantumEfficiency: [
        { wavelengthNm: 400, value: 0.8 },
        { wavelengthNm: 900, value: 0.8 },
      ],
    }),
    plane?.response.pieces,
  )
  const clear = { ...path, quantumEfficiency: 1, opticsTransmission: 1 }
  t.equal(channelsOf(clear), channelsOf(structuredClone(clear)))
  t.end()
})

void t.test('the oldest planes are forgotten after 512 others, and come out alike again', (t) => {
  const first = channelsOf(path)
  for (let index = 0; index < 512; index++) {
    channelsOf({ ...path, filter: { centerNm: 500 + index / 10, widthNm: 5, transmission: 0.9 } })
  }
  const again = channelsOf(path)
  t.not(again[0]?.response.pieces, first[0]?.response.pieces)
  t.same(again, first)
  t.end()
})

void t.test('long tables are not kept', (t) => {
  const quantumEfficiency = Array.from({ length: 400 }, (_, index) => ({ wavelengthNm: 300 + index, value: 0.5 }))
  const long = { ...path, quantumEfficiency }
  t.not(channelsOf(long), channelsOf(long))
  t.same(channelsOf(long), channelsOf(long))
  t.end()
})

void t.test('factors that are no shares are refused by name', (t) => {
  for (const [field, bad] of [
    ['quantumEfficiency', { ...path, quantumEfficiency: 80 }],
    ['opticsTransmission', { ...path, opticsTransmission: -0.1 }],
    ['infraredBlocker.value', { ...path, infraredBlocker: [400, 500].map((nm) => ({ wavelengthNm: nm, value: 2 })) }],
  ] as const) {
    t.throws(() => channelsOf(bad), { code: 'out-of-range', details: { field } }, field)
  }
  refuses(t, () => channelsOf({ ...path, filter: { curve: [] } }), 'not-enough-data', 'filter')
  t.end()
})

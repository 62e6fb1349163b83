// `/v1/frames` over HTTP: what a header or a picture leaves in doubt is told.

import t from 'tap'
import type { FramesAnswer } from '../../src/contract/frames.ts'
import { card, plainFile, unsignedFile } from '../frames/support/fits-file.ts'
import { seededRandom } from '../support/random.ts'
import {
  send,
  adu,
  fillOf,
  SIDE_PX,
  AXES,
  GAIN,
  OFFSET_ADU,
  SKY_ELECTRONS,
  EXPOSED,
  file,
  KNOWN,
  frameHeader,
} from '../support/frames.ts'

const flat = (level: (at: number) => number) => Float64Array.from({ length: SIDE_PX ** 2 }, (_, at) => level(at))
const said = ({ explanation, cautions }: FramesAnswer) => [...explanation, ...cautions].join(' ')

void t.test('a pattern that is not known here is named, and never denied', async (t) => {
  const { answer } = await send(unsignedFile(adu, AXES, [...EXPOSED, card('BAYERPAT', 'XTRANS')]), KNOWN)
  t.equal(answer.frame.color, 'mono')
  t.match(answer.assumptions[0], { pointer: '/bayerPattern', reason: /BAYERPAT “XTRANS” is no pattern/ })
  t.match(answer.cautions, [/BAYERPAT “XTRANS” is none of RGGB, BGGR, GRBG, GBRG: .*give `bayerPattern`/])
  const given = await send(
    unsignedFile(adu, AXES, [...EXPOSED, card('BAYERPAT', 'XTRANS')]),
    `${KNOWN}&bayerPattern=RGGB`,
  )
  t.notMatch(said(given.answer), /XTRANS/)
})

void t.test('an exposure that cannot be used is told, not guessed; the query mends it', async (t) => {
  const cases: [string[], RegExp][] = [
    [[card('EXPTIME', 120), card('EXPTIME', 60)], /EXPTIME 120 beside EXPTIME 60 is not usable as an exposure/],
    [[card('EXPTIME', 120), card('EXPOSURE', 60)], /EXPTIME 120 beside EXPOSURE 60 is not usable/],
    [[card('EXPTIME', 'long')], /EXPTIME “long” is not usable/],
    [[card('EXPTIME', 0)], /EXPTIME 0 is not usable/],
    [[card('EXPTIME', -5)], /EXPTIME -5 is not usable as an exposure: give `subSeconds`/],
  ]
  for (const [cards, caution] of cases) {
    const { answer } = await send(unsignedFile(adu, AXES, cards), KNOWN)
    t.match(answer.cautions, [caution])
    t.match(answer, { sky: null, frame: { subSeconds: null } })
    const mended = await send(unsignedFile(adu, AXES, cards), `${KNOWN}&subSeconds=60`)
    t.match(mended.answer, { cautions: [], frame: { subSeconds: 60 } })
  }
})

void t.test('a black end that is cut off is told; an ordinary one is not', async (t) => {
  const sunk = adu.map((value) => Math.max(0, value - OFFSET_ADU - SKY_ELECTRONS / GAIN))
  const cut = /(4\d|5\d) % of the pixels stand at 0 ADU, the lowest there is: .*offset is too low/
  t.match(said((await send(unsignedFile(sunk, AXES, EXPOSED))).answer), cut)
  t.match(said((await send(plainFile(sunk, -32, AXES, EXPOSED))).answer), cut, 'floating point')
  const shown = said((await send(unsignedFile(sunk, AXES, [...EXPOSED, card('BAYERPAT', 'RGGB')]))).answer)
  t.match(shown, /% of the (red|green|blue) pixels stand at 0 ADU/)
  const signed = plainFile(
    sunk.map((value) => value - 32_768),
    16,
    AXES,
    EXPOSED,
  )
  t.match(said((await send(signed)).answer), /pixels stand at -32768 ADU, the lowest there is/)
  t.notMatch(said((await send(file)).answer), /the lowest there is/)
  const one = adu.map((value, at) => (at < 100 ? 0 : value))
  t.notMatch(said((await send(unsignedFile(one, AXES, EXPOSED))).answer), /the lowest there is/, 'a few dead pixels')
})

void t.test('frames without a sky state none: constant, clipped, bias', async (t) => {
  const even = await send(unsignedFile(fillOf(1000), AXES, EXPOSED), KNOWN)
  t.match(even.answer.cautions, [/All pixels are alike/])
  t.notMatch(said(even.answer), /photon/)
  const white = await send(unsignedFile(fillOf(65_535), AXES, EXPOSED), KNOWN)
  t.match(white.answer.background, { electronsPerPixelSecond: null })
  t.equal(white.answer.planes[0]?.background.electronsPerPixelSecond, null)
  t.notMatch(said(white.answer), /photon|electrons per pixel/)
  const mostly = flat((at) => (at % 5 < 3 ? 65_535 : 60_000 + (at % 7)))
  const clipped = await send(unsignedFile(mostly, AXES, EXPOSED), KNOWN)
  t.match(clipped.answer, { sky: null, background: { electronsPerPixelSecond: null } })
  t.match(said(clipped.answer), /More than half of the pixels are clipped/)
  const random = seededRandom(31)
  const bias = flat((at) => Math.round(random.normal(500.03 + 1.4 * ((at % SIDE_PX) / SIDE_PX - 0.5), 4)))
  const { answer } = await send(unsignedFile(bias, AXES, [card('EXPTIME', 1)]), KNOWN)
  t.equal(answer.gradient?.cornerToCornerShare, null)
  t.match(said(answer), /rises by 1\.\d ADU\. That is no share of a background, which hardly rises/)
})

void t.test('numbers as people read them: in sentences, in refusals, in the query', async (t) => {
  const below = flat((at) => -807 - (at % 2) - (at % 5 === 0 ? 0.5 : 0))
  const { answer } = await send(plainFile(below, -32, AXES, EXPOSED))
  t.equal(Math.round(answer.background.adu), -808)
  t.match(answer.explanation[0], /The background is -808 ADU/)
  const tiny = await send(plainFile(below, -32, AXES, ['BSCALE  =                1E-40']))
  t.match(JSON.stringify(tiny.problem.errors), /1e-30 to 1e\+30/)
  t.match((await send(frameHeader([100_000, 100_000]))).problem.detail, /more than 128 MiB \(134217728 bytes\)/)
  const query = await send(file, '?offsetAdu=500&electronsPerAdu=.8')
  t.equal(query.answer.camera.electronsPerAdu, 0.8)
})

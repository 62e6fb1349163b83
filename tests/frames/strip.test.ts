// A picture measured strip by strip, in any order and with any neighbours still to come, is measured alike.

import t from 'tap'

import { readFitsBody } from '../../src/fits/index.ts'
import { Arrival } from '../../src/frames/arrival.ts'
import { finishPicture } from '../../src/frames/finish.ts'
import { joinOutstanding } from '../../src/frames/outstanding.ts'
import { blockRows, layOut, type SharedPicture } from '../../src/frames/picture.ts'
import { measureStrip, type Strip } from '../../src/frames/strip.ts'
import { chunks, unsignedFile } from './support/fits-file.ts'
import { simulate, starField } from './support/simulate.ts'

const [WIDTH_PX, HEIGHT_PX] = [640, 801]
const file = unsignedFile(
  simulate({
    ...{ widthPx: WIDTH_PX, heightPx: HEIGHT_PX, seed: 51, skyElectrons: 200, readNoiseElectrons: 3 },
    ...{ electronsPerAdu: 1, offsetAdu: 300, hotShare: 0.01, hotElectrons: 5000 },
    stars: starField({
      ...{ seed: 52, count: 150, widthPx: WIDTH_PX, heightPx: HEIGHT_PX, faintest: 2000, brightest: 1e5, fwhmPx: 3 },
    }),
  }),
  [WIDTH_PX, HEIGHT_PX],
)

async function arrived(): Promise<SharedPicture> {
  let arrival: Arrival | undefined
  await readFitsBody(chunks(file), { maximumBytes: file.length }, (image) => {
    const memory = (bytes: number) => new SharedArrayBuffer(bytes)
    return (arrival = new Arrival(layOut(image, null), memory, () => undefined))
  })
  if (!arrival) throw new Error('No picture came.')
  return arrival.picture
}

/** What a picture comes to whose strips are measured in this order. */
async function measured(order: (strips: Strip[]) => Strip[]) {
  const picture = await arrived()
  const rows = blockRows(picture.layout)
  const strips = Array.from({ length: rows }, (_, fromRow): Strip => ({ plane: 0, fromRow, toRow: fromRow + 1 }))
  const found = new Map(order(strips).map((strip) => [strip.fromRow, measureStrip(picture, strip)]))
  const outstanding = joinOutstanding(strips.flatMap(({ fromRow }) => found.get(fromRow) ?? []))
  return { rows, outstanding, measurements: finishPicture(picture, outstanding, undefined) }
}

void t.test('from the last strip to the first as from the first to the last', async (t) => {
  const forward = await measured((strips) => strips)
  const backward = await measured((strips) => strips.toReversed())
  t.ok(forward.rows > 4, `${forward.rows} strips`)
  t.ok(forward.outstanding.undecided.length > 20, 'cells at the edges of strips wait for their neighbours')
  t.strictSame(backward.outstanding, forward.outstanding)
  t.strictSame(backward.measurements, forward.measurements)
})

void t.test('a strip finds the same whether the next one is decoded, still to be, or still to come', async (t) => {
  const [decoded, raw, empty] = [await arrived(), await arrived(), await arrived()]
  const strip: Strip = { plane: 0, fromRow: 0, toRow: 1 }
  measureStrip(decoded, { plane: 0, fromRow: 1, toRow: 2 })
  new Uint8Array(empty.samples, 4 * WIDTH_PX * (empty.layout.rowEdges[1] ?? 0)).fill(0)
  const found = measureStrip(decoded, strip)
  t.ok(found.cells.length > 20)
  t.strictSame(measureStrip(raw, strip), found)
  t.strictSame(measureStrip(empty, strip), found)
})

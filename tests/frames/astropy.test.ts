// Small files made by astropy, and what numpy says of them (tests/fits/data/make-frames.py).

import { readFileSync } from 'node:fs'
import t from 'tap'

import { FramePool, analyzeFrame, frameStatistics } from '../../src/frames/index.ts'
import type { ChannelStatistics } from '../../src/frames/index.ts'
import { dataFile } from '../fits/support/read.ts'
import { within } from '../support/near.ts'
import { chunks } from './support/fits-file.ts'

type Expected = Omit<ChannelStatistics, 'clippedShare'>

const expected = JSON.parse(
  readFileSync(new URL('../../../tests/fits/data/expected.json', import.meta.url), 'utf8'),
) as Record<string, Expected[]>

void t.test('statistics of every sample type agree with numpy 1.24.2', async (t) => {
  const pool = new FramePool({ threads: 1 })
  t.equal(Object.keys(expected).length, 14)
  for (const [name, channels] of Object.entries(expected)) {
    const file = dataFile(name)
    const { planes } = await frameStatistics(chunks(file, 1000), { pool })
    const analysis = await analyzeFrame(chunks(file, 3001), { pool })
    t.strictSame(
      planes.map(({ channel }) => channel),
      channels.map(({ channel }) => channel),
      name,
    )
    for (const [index, wanted] of channels.entries()) {
      const plane = planes[index]
      if (!plane) return t.fail(`${name} lacks a channel`)
      t.match(analysis.planes[index], plane, `${name}: both ways agree`)
      const { channel, ...numbers } = wanted
      for (const [figure, value] of Object.entries(numbers)) {
        const ours = plane[figure as keyof typeof numbers]
        const tolerance = Math.max(1e-12, 1e-11 * Math.abs(value))
        within(t, ours, value, tolerance, `${name} ${channel} ${figure}`)
      }
    }
  }
  await pool.close()
})

void t.test('what the header says is handed on', async (t) => {
  const pool = new FramePool({ threads: 1 })
  t.match(await frameStatistics(chunks(dataFile('bayer.fits')), { pool }), {
    widthPx: 48,
    heightPx: 40,
    bitsPerSample: 16,
    color: 'bayer',
    bayerPattern: 'RGGB',
    hints: { exposureSeconds: 120.5, temperatureCelsius: -10.2, electronsPerAdu: 0.79 },
    bytesRead: 8640,
  })
  t.match(await frameStatistics(chunks(dataFile('cards.fits')), { pool }), {
    color: 'mono',
    hints: { exposureSeconds: 125, temperatureCelsius: null },
  })
  t.match(await frameStatistics(chunks(dataFile('cube.fits')), { pool }), { color: 'planes', bayerPattern: null })
  await pool.close()
})

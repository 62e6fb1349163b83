// A sky from one form into all others, there and back.

import t from 'tap'
import type { z } from 'zod'
import type { SkyBackgroundAnswerSchema, SkyBackgroundRequestSchema } from '../../src/contract/sky-background.ts'
import { skyBackground } from '../../src/routes/sky-background/index.ts'
import { asker } from '../support/ask.ts'
import { near, within } from '../support/near.ts'

type Request = z.input<typeof SkyBackgroundRequestSchema>
type Answer = z.infer<typeof SkyBackgroundAnswerSchema>

const send = await asker([skyBackground])
const ask = (request: Request) => send<Answer>('/v1/sky-background', request)

const flux = (magnitude: number) => 10 ** (-0.4 * magnitude)
const SYSTEM = {
  camera: { pixelSizeUm: 3.76, quantumEfficiency: 0.8, readNoiseElectrons: 1.5, electronsPerAdu: 0.25, offsetAdu: 500 },
  optics: { apertureMm: 100, focalLengthMm: 500, transmission: 0.9 },
  filter: { band: 'luminance' as const },
}

void t.test('without a camera it stays with brightness: luminance, class, parts', async (t) => {
  const { answer } = await ask({ sky: { magPerArcsec2: 20 } })
  t.equal(answer.electronsPerPixelSecond, null)
  t.equal(answer.channel, null)
  near(t, answer.candelaPerSquareMeter ?? NaN, 10.8e4 * flux(20), 1e-9, 'Allen 1973 (from memory): 10.8·10⁴ cd/m² at 0')
  const parts = new Map(answer.contributions.map((part) => [part.name, part]))
  t.same([...parts.keys()], ['natural', 'artificial'])
  const artificial = -2.5 * Math.log10(flux(20) - flux(21.9))
  within(t, parts.get('artificial')?.magPerArcsec2 ?? NaN, artificial, 1e-9, 'what the natural 21.9 leaves')
  near(t, parts.get('artificial')?.share ?? NaN, flux(artificial) / flux(20), 1e-9, 'its share of the light')
})

void t.test('a brightness, counted by a system and turned back, is the same brightness', async (t) => {
  for (const magPerArcsec2 of [18, 20.5, 21.9, 22]) {
    const { answer } = await ask({ ...SYSTEM, sky: { magPerArcsec2 } })
    const electronsPerPixelSecond = answer.electronsPerPixelSecond ?? NaN
    const back = (await ask({ ...SYSTEM, sky: { electronsPerPixelSecond } })).answer
    within(t, back.magPerArcsec2 ?? NaN, magPerArcsec2, 1e-9, 'by its electrons')
    const measured = { backgroundAdu: 500 + (electronsPerPixelSecond * 300) / 0.25, subSeconds: 300 }
    const again = (await ask({ ...SYSTEM, sky: { measured } })).answer
    within(t, again.magPerArcsec2 ?? NaN, magPerArcsec2, 1e-9, 'by what a sub of 300 s shows')
  }
})

void t.test('electrons grow with area and pixel, as the geometry says', async (t) => {
  const counted = async (apertureMm: number, focalLengthMm: number) => {
    const optics = { ...SYSTEM.optics, apertureMm, focalLengthMm }
    return (await ask({ ...SYSTEM, optics, sky: { magPerArcsec2: 20 } })).answer.electronsPerPixelSecond ?? NaN
  }
  near(t, await counted(200, 500), 4 * (await counted(100, 500)), 1e-12, 'four times the area')
  near(t, await counted(100, 1000), (await counted(100, 500)) / 4, 1e-12, 'a quarter of the sky on a pixel')
})

void t.test('five magnitudes of lamps are a factor of a hundred in what lamps give', async (t) => {
  const artificial = async (magPerArcsec2: number) => {
    const { answer } = await ask({ ...SYSTEM, sky: { magPerArcsec2 } })
    const part = answer.contributions.find(({ name }) => name === 'artificial')
    return { electrons: part?.electronsPerPixelSecond ?? NaN, magnitude: part?.magPerArcsec2 ?? NaN }
  }
  const [bright, dim] = [await artificial(17), await artificial(20)]
  near(t, bright.electrons / dim.electrons, flux(bright.magnitude - dim.magnitude), 1e-9, 'by their own magnitudes')
})

void t.test(
  'Krisciunas & Schaefer 1991: the full Moon brightens more than the half, one below the horizon not',
  async (t) => {
    const total = async (moon?: Request['sky']['moon']) =>
      (await ask({ sky: { magPerArcsec2: 21.5, targetAltitudeDegrees: 60, ...(moon && { moon }) } })).answer
        .magPerArcsec2 ?? NaN
    const place = { altitudeDegrees: 40, separationDegrees: 60 }
    const [none, half, full] = [
      await total(),
      await total({ phaseAngleDegrees: 90, ...place }),
      await total({ phaseAngleDegrees: 0, ...place }),
    ]
    t.ok(full < half - 1 && half < none, `${full}, ${half}, ${none} mag/arcsec²`)
    t.equal(await total({ phaseAngleDegrees: 0, ...place, altitudeDegrees: -1 }), none)
  },
)

void t.test('classes and limits of the eye are turned into a brightness, which is listed', async (t) => {
  const classed = (await ask({ sky: { bortleClass: 4 } })).answer
  t.equal(classed.bortleClass, 4)
  t.match(classed.assumptions.find(({ pointer }) => pointer === '/sky/magPerArcsec2')?.reason, /middle of class 4/)
  const seen = (await ask({ sky: { nakedEyeLimitMag: 5.5 } })).answer
  const schaefer = 21.58 - 5 * Math.log10(10 ** (1.586 - 5.5 / 5) - 1)
  within(t, seen.magPerArcsec2 ?? NaN, schaefer, 0.01, 'Schaefer 1990, inverted: 7.93 − 5 log(10^(4.316 − B/5) + 1)')
})

void t.test(
  'a sky that was counted and no optics: no brightness, and the answer says what would tell it',
  async (t) => {
    const { answer } = await ask({ sky: { electronsPerPixelSecond: 1 } })
    t.match(answer, { magPerArcsec2: null, candelaPerSquareMeter: null, bortleClass: null, contributions: [] })
    t.match(answer.explanation.join(' '), /Camera, optics and filter together would tell/)
  },
)

void t.test('skies in no form, in two, and below the offset are refused by name', async (t) => {
  t.match((await ask({ sky: {} })).errors, [/^\/sky: missing/])
  const two = await ask({ sky: { magPerArcsec2: 20, bortleClass: 4 } })
  t.equal(two.status, 400)
  t.match(two.errors, [/^\/sky\/magPerArcsec2: 2 skies at once/, /^\/sky\/bortleClass: 2 skies at once/])
  const low = await ask({ ...SYSTEM, sky: { measured: { backgroundAdu: 400, subSeconds: 60 } } })
  t.equal(low.status, 422)
  t.match(low.errors, [/^\/sky\/measured\/backgroundAdu: 400 ADU lies below/])
  const dark = await ask({ sky: { magPerArcsec2: 20, lamps: { 'led-3000k': 0 } } })
  t.match(dark.errors, [/^\/sky\/lamps: /])
})

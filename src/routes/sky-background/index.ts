import {
  SkyBackgroundAnswerSchema,
  skyBackgroundExamples,
  SkyBackgroundRequestSchema,
} from '../../contract/sky-background.ts'
import { inquire } from '../../setup/inquiry.ts'
import type { Notes } from '../../setup/notes.ts'
import { ratesAnswer } from '../../setup/rates-answer.ts'
import { short, spokenShare } from '../../setup/words.ts'
import { question } from '../endpoint.ts'
import { quantities, solve, type Request, type Solution } from './solve.ts'

export const skyBackground = question({
  id: 'skyBackground',
  path: '/v1/sky-background',
  tag: 'Sky',
  summary: 'What does this sky put on a pixel?',
  description:
    'Turns any way of giving a sky into all others: magnitudes, candela, a class, electrons per second on a pixel of your set-up through your filter. Tells what the sky is made of: airglow and starlight, lamps, moonlight. Without a camera it stays with the brightness; a sky measured in electrons is turned back into a brightness where camera, optics and filter are given.',
  request: SkyBackgroundRequestSchema,
  answer: SkyBackgroundAnswerSchema,
  examples: skyBackgroundExamples,
  handle: (request) => inquire(request, { solve, quantities, encode }),
})

function encode(solution: Solution, notes: Notes, request: Request) {
  const { scene, ...sky } = solution
  explain(solution, request, notes)
  return {
    ...sky,
    ...(scene === null ? { channel: null, channels: [], pixelScaleArcsec: null } : ratesAnswer(scene)),
  }
}

const SOURCE_WORDS = {
  natural: 'airglow, zodiacal light and stars',
  artificial: 'lamps',
  moon: 'moonlight',
}

function explain(solution: Solution, request: Request, notes: Notes): void {
  const { scene, magPerArcsec2, electronsPerPixelSecond, contributions } = solution
  if (magPerArcsec2 !== null) {
    notes.explain(`Where the target stands the sky has ${magPerArcsec2.toFixed(2)} mag/arcsec² in V.`)
  } else {
    notes.explain('Camera, optics and filter together would tell how bright this sky is.')
  }
  if (electronsPerPixelSecond !== null) {
    const plane = scene !== null && scene.planes.length > 1 ? ` ${scene.plane.channel}` : ''
    notes.explain(`It puts ${short(electronsPerPixelSecond)} electrons per second on a${plane} pixel.`)
  }
  if (contributions.length > 0) {
    const of = contributions[0]?.electronsPerPixelSecond === null ? 'its light' : 'its electrons'
    const parts = contributions.map(({ name, share }) => `${spokenShare(share)} ${SOURCE_WORDS[name]}`)
    notes.explain(`Of ${of}: ${parts.join(', ')}.`)
  }
  if (request.sky.measured !== undefined || request.sky.electronsPerPixelSecond !== undefined) {
    notes.explain('A measured sky holds the Moon and the altitude it was measured at.')
  }
  if (request.sky.lamps === undefined && contributions.some(({ name }) => name === 'artificial')) {
    notes.explain('How much of the lamps a narrow filter sees depends on their kind; name them in `lamps`.')
  }
}

// What a header says about its picture: size, sample type, scaling, and the facts the camera wrote down.
// FITS Standard 4.0 (IAU FITS Working Group 2018), sections 4.4.1, 4.4.2 and 6.

import { bayerPatternOf, unknownPatternOf } from './bayer.ts'
import type { BayerPattern } from './bayer.ts'
import { FitsError } from './errors.ts'
import { exposureOf } from './exposure.ts'
import type { ExposureHint } from './exposure.ts'
import type { FitsHeader } from './header.ts'
import type { BitsPerSample } from './mandatory.ts'
import { axesOf, bitsOf, notAllowed, requireSimple } from './mandatory.ts'

export type { BitsPerSample } from './mandatory.ts'

/** The physical value of a sample is `zeroAdu + scaleAdu * sample`. */
export interface SampleScale {
  zeroAdu: number
  scaleAdu: number
}

/** What the camera wrote beside the picture; null where it is absent or not a number. Never used to read the data. */
export interface CameraHints extends ExposureHint {
  temperatureCelsius: number | null
  electronsPerAdu: number | null
  /** A pattern the header names that is none of the four, as keyword and value. */
  unknownPattern: string | null
}

export interface FitsImage {
  widthPx: number
  heightPx: number
  /** 1, or 3 for separate red, green and blue planes. */
  planeCount: 1 | 3
  bitsPerSample: BitsPerSample
  scale: SampleScale
  /** The sample that stands for a missing pixel; integers only. */
  blankSample: number | null
  bayerPattern: BayerPattern | null
  hints: CameraHints
}

const TEMPERATURE_KEYWORDS = ['CCD-TEMP']
const GAIN_KEYWORDS = ['EGAIN']

/** Keeps every figure that is computed from scaled samples finite. */
const SCALE_LIMIT = 1e30
const SMALLEST_SCALE = 1e-30

/**
 * Judges the mandatory keywords and collects what is needed to read the picture.
 *
 * @returns the picture's layout, its {@link dataBytes} following the header; undefined where NAXIS is 0
 * @throws {FitsError} any of the kinds `unreadable` and `unsupported` that concern the header
 * @source FITS Standard 4.0 (IAU FITS Working Group 2018), sections 4.4.1.1 and 4.4.2
 */
export function imageOf(header: FitsHeader): FitsImage | undefined {
  requireSimple(header)
  const bitsPerSample = bitsOf(header)
  const axes = axesOf(header)
  if (axes.length === 0) return undefined
  const isInteger = bitsPerSample > 0
  return {
    ...sizeOf(header, axes),
    bitsPerSample,
    scale: scaleOf(header),
    blankSample: isInteger ? blankOf(header) : null,
    bayerPattern: bayerPatternOf(header),
    hints: {
      ...exposureOf(header),
      temperatureCelsius: hint(header, TEMPERATURE_KEYWORDS),
      electronsPerAdu: hint(header, GAIN_KEYWORDS),
      unknownPattern: unknownPatternOf(header),
    },
  }
}

/** Bytes of one sample. */
export function sampleBytes(bitsPerSample: BitsPerSample): 1 | 2 | 4 | 8 {
  return (Math.abs(bitsPerSample) / 8) as 1 | 2 | 4 | 8
}

/** Bytes of the data that the header declares, without the padding to whole blocks. */
export function dataBytes(image: FitsImage): number {
  return image.widthPx * image.heightPx * image.planeCount * sampleBytes(image.bitsPerSample)
}

function sizeOf(header: FitsHeader, axes: readonly number[]): Pick<FitsImage, 'widthPx' | 'heightPx' | 'planeCount'> {
  if (axes[0] === 0 && header.isTrue('GROUPS')) {
    throw new FitsError('random-groups', 'The data are random groups (GROUPS is T), not a picture.', { card: 'GROUPS' })
  }
  const empty = axes.indexOf(0)
  if (empty >= 0) {
    const card = `NAXIS${empty + 1}`
    throw new FitsError('zero-size', `${card} is 0: the picture has no pixels.`, {
      card,
      given: 0,
      allowed: '1 or more',
    })
  }
  const [widthPx, heightPx, planeCount = 1, ...others] = axes
  const isPicture = (planeCount === 1 || planeCount === 3) && others.every((length) => length === 1)
  if (widthPx === undefined || heightPx === undefined || !isPicture) {
    throw new FitsError('axes-unsupported', `The axes are ${axes.slice(0, 8).join(' x ')}: not a picture.`, {
      card: 'NAXIS',
      given: axes.length,
      allowed: 'two axes, or a third of length 1 or 3 (red, green, blue)',
    })
  }
  return { widthPx, heightPx, planeCount }
}

function scaleOf(header: FitsHeader): SampleScale {
  const scaleAdu = header.decisiveNumber('BSCALE') ?? 1
  const zeroAdu = header.decisiveNumber('BZERO') ?? 0
  // A negative factor is legal but would turn stars into holes for every step that follows; no camera writes one.
  if (!(scaleAdu >= SMALLEST_SCALE && scaleAdu <= SCALE_LIMIT)) throw scaleUnsupported('BSCALE', scaleAdu)
  if (Math.abs(zeroAdu) > SCALE_LIMIT) throw scaleUnsupported('BZERO', zeroAdu)
  return { zeroAdu, scaleAdu }
}

function scaleUnsupported(card: string, given: number): FitsError {
  const allowed = card === 'BSCALE' ? `above 0, ${SMALLEST_SCALE} to ${SCALE_LIMIT}` : `within ${SCALE_LIMIT} of 0`
  return new FitsError('scale-unsupported', `${card} is ${given}.`, { card, given, allowed })
}

function blankOf(header: FitsHeader): number | null {
  const blank = header.decisiveNumber('BLANK')
  if (blank === undefined) return null
  if (!Number.isInteger(blank)) throw notAllowed('BLANK', blank, 'an integer')
  return blank
}

function hint(header: FitsHeader, keywords: readonly string[]): number | null {
  for (const keyword of keywords) {
    const value = header.values(keyword)[0]
    if (value?.type === 'number') return value.value
  }
  return null
}

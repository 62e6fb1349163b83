// Typical classes of camera, optics and filters: a value that stands in for one that isn't given, and the range in which
// real ones lie. No product is meant, and none has to match. Common practice, no source, unless a value says otherwise.

import type { CAMERA_CLASSES } from '../contract/camera.ts'
import type { OPTICS_CLASSES } from '../contract/optics.ts'
import {
  BROAD_BANDS,
  DEFAULT_LINE_WIDTH_NM,
  LINE_BANDS,
  LINE_BAND_TRANSMISSION,
  type BroadBand,
  type LineBand,
} from '../engine/index.ts'

export interface Typical {
  typical: number
  low: number
  high: number
}

export type EfficiencyCurve = readonly { wavelengthNm: number; value: number }[]

export interface TypicalCamera {
  description: string
  color: 'mono' | 'bayer'
  infraredBlocker: 'none' | 'photographic'
  binningKind: 'on-chip' | 'software'
  quantumEfficiency: EfficiencyCurve
  pixelSizeUm: Typical
  widthPx: number
  heightPx: number
  readNoiseElectrons: Typical
  electronsPerAdu: Typical
  fullWellElectrons: Typical
  bitDepth: number
  offsetAdu: Typical
  darkCurrentElectronsPerPixelSecond: Typical
  darkCurrentAtCelsius: number
  temperatureCelsius: Typical
  coolerReachCelsius: number | null
}

export const COMMON_PRACTICE = 'common practice, no source'

/** Back-illuminated CMOS of the last decade. */
const BACK_ILLUMINATED: EfficiencyCurve = [
  { wavelengthNm: 350, value: 0.45 },
  { wavelengthNm: 400, value: 0.7 },
  { wavelengthNm: 450, value: 0.83 },
  { wavelengthNm: 500, value: 0.88 },
  { wavelengthNm: 550, value: 0.86 },
  { wavelengthNm: 600, value: 0.78 },
  { wavelengthNm: 656, value: 0.66 },
  { wavelengthNm: 700, value: 0.56 },
  { wavelengthNm: 800, value: 0.36 },
  { wavelengthNm: 900, value: 0.18 },
  { wavelengthNm: 1000, value: 0.05 },
  { wavelengthNm: 1100, value: 0 },
]

/** Front-illuminated CMOS of consumer cameras. */
const FRONT_ILLUMINATED: EfficiencyCurve = [
  { wavelengthNm: 350, value: 0.15 },
  { wavelengthNm: 400, value: 0.4 },
  { wavelengthNm: 450, value: 0.54 },
  { wavelengthNm: 500, value: 0.6 },
  { wavelengthNm: 550, value: 0.59 },
  { wavelengthNm: 600, value: 0.54 },
  { wavelengthNm: 656, value: 0.46 },
  { wavelengthNm: 700, value: 0.4 },
  { wavelengthNm: 800, value: 0.27 },
  { wavelengthNm: 900, value: 0.14 },
  { wavelengthNm: 1000, value: 0.04 },
  { wavelengthNm: 1100, value: 0 },
]

/** Interline or full-frame CCD of the years before. */
const CHARGE_COUPLED: EfficiencyCurve = [
  { wavelengthNm: 350, value: 0.2 },
  { wavelengthNm: 400, value: 0.4 },
  { wavelengthNm: 450, value: 0.5 },
  { wavelengthNm: 500, value: 0.56 },
  { wavelengthNm: 550, value: 0.57 },
  { wavelengthNm: 600, value: 0.56 },
  { wavelengthNm: 656, value: 0.51 },
  { wavelengthNm: 700, value: 0.43 },
  { wavelengthNm: 800, value: 0.27 },
  { wavelengthNm: 900, value: 0.12 },
  { wavelengthNm: 1000, value: 0.03 },
  { wavelengthNm: 1100, value: 0 },
]

const CONSUMER: Omit<TypicalCamera, 'description' | 'infraredBlocker'> = {
  color: 'bayer',
  binningKind: 'software',
  quantumEfficiency: FRONT_ILLUMINATED,
  pixelSizeUm: { typical: 4.3, low: 3.2, high: 6.5 },
  widthPx: 5472,
  heightPx: 3648,
  readNoiseElectrons: { typical: 2.8, low: 1.5, high: 5 },
  electronsPerAdu: { typical: 0.6, low: 0.2, high: 2 },
  fullWellElectrons: { typical: 9000, low: 4000, high: 40000 },
  bitDepth: 14,
  offsetAdu: { typical: 1024, low: 0, high: 2048 },
  darkCurrentElectronsPerPixelSecond: { typical: 0.15, low: 0.03, high: 0.6 },
  darkCurrentAtCelsius: 20,
  temperatureCelsius: { typical: 18, low: 0, high: 35 },
  coolerReachCelsius: null,
}

const MODERN_CMOS: Omit<TypicalCamera, 'description' | 'color' | 'temperatureCelsius' | 'coolerReachCelsius'> = {
  infraredBlocker: 'none',
  binningKind: 'software',
  quantumEfficiency: BACK_ILLUMINATED,
  pixelSizeUm: { typical: 3.76, low: 2.4, high: 4.8 },
  widthPx: 6248,
  heightPx: 4176,
  readNoiseElectrons: { typical: 1.6, low: 1, high: 3.5 },
  electronsPerAdu: { typical: 0.25, low: 0.2, high: 0.8 },
  fullWellElectrons: { typical: 16000, low: 10000, high: 50000 },
  bitDepth: 16,
  offsetAdu: { typical: 500, low: 100, high: 2000 },
  darkCurrentElectronsPerPixelSecond: { typical: 0.0008, low: 0.0003, high: 0.005 },
  darkCurrentAtCelsius: -10,
}

export const TYPICAL_CAMERAS: Record<(typeof CAMERA_CLASSES)[number], TypicalCamera> = {
  'unmodified-consumer': {
    description: 'A consumer camera as sold, at a raised gain setting, with its infrared-blocking filter.',
    infraredBlocker: 'photographic',
    ...CONSUMER,
  },
  'modified-consumer': {
    description: 'A consumer camera whose infrared-blocking filter was taken out for H-alpha.',
    infraredBlocker: 'none',
    ...CONSUMER,
  },
  'cooled-mono-cmos': {
    description: 'A cooled monochrome CMOS camera at the gain of lowest useful read noise.',
    color: 'mono',
    ...MODERN_CMOS,
    temperatureCelsius: { typical: -10, low: -20, high: 0 },
    coolerReachCelsius: 35,
  },
  'cooled-color-cmos': {
    description: 'The same sensor behind a Bayer mosaic.',
    color: 'bayer',
    ...MODERN_CMOS,
    temperatureCelsius: { typical: -10, low: -20, high: 0 },
    coolerReachCelsius: 35,
  },
  'uncooled-mono-cmos': {
    description: 'A small monochrome CMOS camera without a cooler.',
    color: 'mono',
    ...MODERN_CMOS,
    widthPx: 1936,
    heightPx: 1216,
    pixelSizeUm: { typical: 2.9, low: 2, high: 4.8 },
    bitDepth: 12,
    electronsPerAdu: { typical: 1, low: 0.2, high: 4 },
    offsetAdu: { typical: 60, low: 0, high: 200 },
    fullWellElectrons: { typical: 4000, low: 2000, high: 15000 },
    darkCurrentElectronsPerPixelSecond: { typical: 0.02, low: 0.005, high: 0.2 },
    darkCurrentAtCelsius: 15,
    temperatureCelsius: { typical: 20, low: 0, high: 35 },
    coolerReachCelsius: null,
  },
  'old-cooled-ccd': {
    description: 'A cooled monochrome CCD camera of the 2000s with large pixels and a slow readout.',
    color: 'mono',
    infraredBlocker: 'none',
    binningKind: 'on-chip',
    quantumEfficiency: CHARGE_COUPLED,
    pixelSizeUm: { typical: 6.8, low: 5.4, high: 9 },
    widthPx: 3326,
    heightPx: 2504,
    readNoiseElectrons: { typical: 9, low: 7, high: 15 },
    electronsPerAdu: { typical: 0.6, low: 0.4, high: 2 },
    fullWellElectrons: { typical: 35000, low: 18000, high: 100000 },
    bitDepth: 16,
    offsetAdu: { typical: 1000, low: 100, high: 2000 },
    darkCurrentElectronsPerPixelSecond: { typical: 0.01, low: 0.002, high: 0.05 },
    darkCurrentAtCelsius: -20,
    temperatureCelsius: { typical: -20, low: -30, high: -5 },
    coolerReachCelsius: 35,
  },
}

export interface TypicalOptics {
  description: string
  apertureMm: Typical
  focalLengthMm: Typical
  /** Obstruction over aperture, by diameter. */
  obstructionShare: Typical
  transmission: Typical
}

export const TYPICAL_OPTICS: Record<(typeof OPTICS_CLASSES)[number], TypicalOptics> = {
  'camera-lens': {
    description: 'A telephoto lens, stopped down a little.',
    apertureMm: { typical: 50, low: 20, high: 100 },
    focalLengthMm: { typical: 200, low: 85, high: 400 },
    obstructionShare: { typical: 0, low: 0, high: 0 },
    transmission: { typical: 0.85, low: 0.75, high: 0.93 },
  },
  'small-refractor': {
    description: 'A refractor of three inches or so with its flattener.',
    apertureMm: { typical: 80, low: 60, high: 90 },
    focalLengthMm: { typical: 480, low: 330, high: 560 },
    obstructionShare: { typical: 0, low: 0, high: 0 },
    transmission: { typical: 0.92, low: 0.85, high: 0.96 },
  },
  'large-refractor': {
    description: 'A refractor of four to five inches with its flattener.',
    apertureMm: { typical: 120, low: 100, high: 150 },
    focalLengthMm: { typical: 840, low: 600, high: 1100 },
    obstructionShare: { typical: 0, low: 0, high: 0 },
    transmission: { typical: 0.92, low: 0.85, high: 0.96 },
  },
  newtonian: {
    description: 'A Newtonian reflector with a coma corrector.',
    apertureMm: { typical: 200, low: 130, high: 300 },
    focalLengthMm: { typical: 900, low: 500, high: 1200 },
    obstructionShare: { typical: 0.33, low: 0.25, high: 0.42 },
    transmission: { typical: 0.76, low: 0.68, high: 0.86 },
  },
  compound: {
    description: 'A compound telescope of mirrors with a corrector or reducer.',
    apertureMm: { typical: 203, low: 127, high: 356 },
    focalLengthMm: { typical: 1280, low: 800, high: 3900 },
    obstructionShare: { typical: 0.36, low: 0.3, high: 0.47 },
    transmission: { typical: 0.72, low: 0.62, high: 0.85 },
  },
}

export interface TypicalFilter {
  description: string
  centersNm: readonly number[]
  /** Of each passband. */
  widthNm: Typical
  transmission: Typical
}

function broad(
  band: Exclude<BroadBand, 'none'>,
  narrowestNm: number,
  widestNm: number,
): Omit<TypicalFilter, 'description'> {
  const { fromNm, toNm, transmission } = BROAD_BANDS[band]
  return {
    centersNm: [(fromNm + toNm) / 2],
    widthNm: { typical: toNm - fromNm, low: narrowestNm, high: widestNm },
    transmission: { typical: transmission, low: 0.85, high: 0.98 },
  }
}

function narrow(band: LineBand, narrowestNm: number, widestNm: number): Omit<TypicalFilter, 'description'> {
  return {
    centersNm: LINE_BANDS[band].centersNm,
    widthNm: { typical: DEFAULT_LINE_WIDTH_NM, low: narrowestNm, high: widestNm },
    transmission: { typical: LINE_BAND_TRANSMISSION, low: 0.75, high: 0.95 },
  }
}

/** The bands a filter may be named by, with what the engine takes them for. */
export const TYPICAL_FILTERS: Record<Exclude<BroadBand, 'none'> | LineBand, TypicalFilter> = {
  luminance: { description: 'All visible light, for a mono camera; stops infrared.', ...broad('luminance', 250, 320) },
  red: { description: 'Red third of the visible light, for a mono camera.', ...broad('red', 90, 120) },
  green: { description: 'Green third of the visible light, for a mono camera.', ...broad('green', 70, 110) },
  blue: { description: 'Blue third of the visible light, for a mono camera.', ...broad('blue', 80, 120) },
  'h-alpha': { description: 'Hydrogen alpha, the red line of most nebulae.', ...narrow('h-alpha', 3, 12) },
  'h-beta': { description: 'Hydrogen beta, blue-green and a third of H-alpha or less.', ...narrow('h-beta', 5, 12) },
  'o-iii': { description: 'Doubly ionised oxygen, the green line of planetary nebulae.', ...narrow('o-iii', 3, 12) },
  's-ii': { description: 'Ionised sulphur, deep red and mostly faint.', ...narrow('s-ii', 3, 12) },
  'dual-narrowband': {
    description: 'H-alpha and O III at once, for a colour camera: red pixels take the one, green and blue the other.',
    ...narrow('dual-narrowband', 3, 15),
  },
}

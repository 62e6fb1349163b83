// Frames from first principles, with known truth: photons from sky and stars fall on pixels by Poisson's law, the pixels
// read out with noise, and the converter rounds and clips.

import { seededRandom } from '../../support/random.ts'

export interface SimulatedStar {
  /** Center in pixels from the middle of the first pixel, 0. */
  x: number
  y: number
  fluxElectrons: number
  fwhmPx: number
  /** Moffat's exponent; a Gaussian where absent. */
  beta?: number
  /** Minor over major axis, the major one along x. */
  axisRatio?: number
}

export interface SimulatedFrame {
  widthPx: number
  heightPx: number
  seed: number
  /** Sky at the middle of the frame, and its rise across the frame, in electrons per pixel. */
  skyElectrons: number
  acrossWidthElectrons?: number
  acrossHeightElectrons?: number
  readNoiseElectrons: number
  electronsPerAdu: number
  offsetAdu: number
  stars?: readonly SimulatedStar[]
  /** Share of pixels with extra charge, evenly from nothing to `hotElectrons`. */
  hotShare?: number
  hotElectrons?: number
  maximumAdu?: number
  /** How the light of sky and stars divides among the four positions of a cell; all 1 where absent. */
  responses?: readonly [number, number, number, number]
}

/** ADU, whole numbers, row by row. */
export function simulate(frame: SimulatedFrame): Float64Array {
  const random = seededRandom(frame.seed)
  const electrons = expectedElectrons(frame)
  const { readNoiseElectrons, electronsPerAdu, offsetAdu, hotShare = 0, hotElectrons = 0 } = frame
  return electrons.map((expected) => {
    const hot = random.uniform() < hotShare ? hotElectrons * random.uniform() : 0
    const charge = random.poisson(expected + hot) + random.normal(0, readNoiseElectrons)
    return Math.min(frame.maximumAdu ?? 65_535, Math.max(0, Math.round(offsetAdu + charge / electronsPerAdu)))
  })
}

/** The mean of every pixel, before chance. */
export function expectedElectrons(frame: SimulatedFrame): Float64Array {
  const { widthPx, heightPx, skyElectrons, acrossWidthElectrons = 0, acrossHeightElectrons = 0 } = frame
  const electrons = new Float64Array(widthPx * heightPx)
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const rise =
        acrossWidthElectrons * ((x + 0.5) / widthPx - 0.5) + acrossHeightElectrons * ((y + 0.5) / heightPx - 0.5)
      electrons[y * widthPx + x] = skyElectrons + rise
    }
  }
  for (const star of frame.stars ?? []) addStar(electrons, frame, star)
  const { responses } = frame
  return responses
    ? electrons.map((value, at) => value * (responses[(Math.floor(at / widthPx) & 1) * 2 + ((at % widthPx) & 1)] ?? 1))
    : electrons
}

/** Stars at random places at least `margin` from the edge, with fluxes spread evenly in magnitude. */
export function starField(options: {
  seed: number
  count: number
  widthPx: number
  heightPx: number
  faintest: number
  brightest: number
  fwhmPx: number
  beta?: number
  axisRatio?: number
  margin?: number
}): SimulatedStar[] {
  const random = seededRandom(options.seed)
  const { widthPx, heightPx, faintest, brightest, fwhmPx, margin = 20 } = options
  return Array.from({ length: options.count }, () => ({
    x: margin + random.uniform() * (widthPx - 2 * margin),
    y: margin + random.uniform() * (heightPx - 2 * margin),
    fluxElectrons: faintest * (brightest / faintest) ** random.uniform(),
    fwhmPx,
    ...(options.beta === undefined ? {} : { beta: options.beta }),
    ...(options.axisRatio === undefined ? {} : { axisRatio: options.axisRatio }),
  }))
}

/** Points per pixel and axis over which a star is averaged, and widths from its center beyond which one point will do. */
const SUBPIXELS = 5
const SMOOTH_WIDTHS = 2

function addStar(electrons: Float64Array, { widthPx, heightPx }: SimulatedFrame, star: SimulatedStar): void {
  const density = profile(star)
  const reach = Math.ceil(star.beta === undefined ? 3 * star.fwhmPx : 12 * star.fwhmPx)
  for (let y = Math.max(0, Math.round(star.y) - reach); y <= Math.min(heightPx - 1, Math.round(star.y) + reach); y++) {
    for (let x = Math.max(0, Math.round(star.x) - reach); x <= Math.min(widthPx - 1, Math.round(star.x) + reach); x++) {
      const [dx, dy] = [x - star.x, y - star.y]
      const isSmooth = Math.hypot(dx, dy) > SMOOTH_WIDTHS * star.fwhmPx
      const share = isSmooth ? density(dx, dy) : averaged(density, dx, dy)
      electrons[y * widthPx + x] = (electrons[y * widthPx + x] ?? 0) + star.fluxElectrons * share
    }
  }
}

function averaged(density: (dx: number, dy: number) => number, dx: number, dy: number): number {
  let sum = 0
  for (let sub = 0; sub < SUBPIXELS ** 2; sub++) {
    const offsetX = ((sub % SUBPIXELS) + 0.5) / SUBPIXELS - 0.5
    const offsetY = (Math.floor(sub / SUBPIXELS) + 0.5) / SUBPIXELS - 0.5
    sum += density(dx + offsetX, dy + offsetY)
  }
  return sum / SUBPIXELS ** 2
}

/** Share of a star's light per square pixel. The width is the geometric mean of both axes. */
function profile({ fwhmPx, beta, axisRatio = 1 }: SimulatedStar): (dx: number, dy: number) => number {
  const widthX = fwhmPx / Math.sqrt(axisRatio)
  const widthY = fwhmPx * Math.sqrt(axisRatio)
  const q = (dx: number, dy: number): number => 4 * ((dx / widthX) ** 2 + (dy / widthY) ** 2)
  if (beta === undefined) {
    const peak = (4 * Math.LN2) / (Math.PI * fwhmPx ** 2)
    return (dx, dy) => peak * 2 ** -q(dx, dy)
  }
  const shape = 2 ** (1 / beta) - 1
  const peak = ((beta - 1) * 4 * shape) / (Math.PI * fwhmPx ** 2)
  return (dx, dy) => peak * (1 + shape * q(dx, dy)) ** -beta
}

// Step spectra. The published spectra are means over bins of 200 Å and over narrow windows about the lines of
// nebulae; a step spectrum reproduces every one of those means exactly. Beyond the tables the outer bins' values
// are held: from 3000 Å up to the first bin and from the last bin to 11000 Å it is an extrapolation.

/** A stretch of wavelength with one value. */
export interface SpectrumStep {
  readonly fromNm: number
  readonly toNm: number
  readonly value: number
}

/** Steps in order of wavelength that cover 300 to 1100 nm without a gap. */
export type StepSpectrum = readonly SpectrumStep[]

/** A mean of the spectrum over a window. */
export interface WindowMean {
  readonly centerAngstrom: number
  readonly widthAngstrom: number
  readonly mean: number
}

/** A published spectrum: means of adjoining bins of 200 Å from 4000 Å on, and of windows within the inner bins. */
export interface BinnedSpectrum {
  readonly binMeans: readonly number[]
  readonly windowMeans: readonly WindowMean[]
}

/** Ends of every spectrum and of every response: silicon sees nothing beyond. */
export const SHORTEST_NM = 300
export const LONGEST_NM = 1100

const FIRST_BIN_ANGSTROM = 4000
const BIN_ANGSTROM = 200

/** A stretch and its mean, in Å, so that edges are whole numbers and meet exactly. */
interface Stretch {
  readonly from: number
  readonly to: number
  readonly mean: number
}

/** A step while the spectrum is put together. */
interface DraftStep {
  readonly from: number
  readonly to: number
  value: number
  settled: boolean
}

/**
 * Step spectrum with the means of a published one.
 *
 * Each window holds its mean, the rest of a wider window what is left for that one's mean, the rest of each bin what
 * is left for the bin's.
 *
 * @param table  means, in any unit of photons per wavelength
 * @returns steps over 300 to 1100 nm in the same unit
 * @derived the mean of a whole is the width-weighted mean of its parts
 */
export function stepSpectrum(table: BinnedSpectrum): StepSpectrum {
  const stretches = [...windowStretches(table.windowMeans), ...binStretches(table.binMeans)]
  const steps = draftSteps(stretches.flatMap(({ from, to }) => [from, to]))
  for (const stretch of stretches) fillToMean(steps, stretch)
  return steps.map(({ from, to, value }) => ({ fromNm: from / 10, toNm: to / 10, value }))
}

/** The windows, narrow ones first. */
function windowStretches(windowMeans: readonly WindowMean[]): Stretch[] {
  return [...windowMeans]
    .sort((a, b) => a.widthAngstrom - b.widthAngstrom)
    .map(({ centerAngstrom, widthAngstrom, mean }) => ({
      from: centerAngstrom - widthAngstrom / 2,
      to: centerAngstrom + widthAngstrom / 2,
      mean,
    }))
}

/** The bins, the first and the last of them held out to the ends of every spectrum. */
function binStretches(binMeans: readonly number[]): Stretch[] {
  return binMeans.map((mean, index) => {
    const start = FIRST_BIN_ANGSTROM + index * BIN_ANGSTROM
    return {
      from: index === 0 ? SHORTEST_NM * 10 : start,
      to: index === binMeans.length - 1 ? LONGEST_NM * 10 : start + BIN_ANGSTROM,
      mean,
    }
  })
}

/** Adjoining steps between all edges, still without a value. */
function draftSteps(edges: readonly number[]): DraftStep[] {
  const ordered = [...new Set(edges)].sort((a, b) => a - b)
  let from = SHORTEST_NM * 10
  return ordered.slice(1).map((to) => {
    const step = { from, to, value: 0, settled: false }
    from = to
    return step
  })
}

/** Gives the steps of a stretch that have no value yet the one value that makes the mean of the stretch right. */
function fillToMean(steps: readonly DraftStep[], stretch: Stretch): void {
  const inside = steps.filter(({ from, to }) => from >= stretch.from && to <= stretch.to)
  let left = stretch.mean * (stretch.to - stretch.from)
  let widthLeft = 0
  for (const { from, to, value, settled } of inside) {
    left -= value * (to - from)
    widthLeft += settled ? 0 : to - from
  }
  for (const step of inside) {
    if (step.settled) continue
    step.value = left / widthLeft
    step.settled = true
  }
}

/**
 * The same spectrum in more steps, divided at the given wavelengths.
 *
 * @param spectrum  any
 * @param edgesNm  where to divide
 * @returns steps in order of wavelength
 * @derived a step is the sum of its parts
 */
export function dividedSpectrum(spectrum: StepSpectrum, edgesNm: readonly number[]): StepSpectrum {
  const ordered = [...new Set(edgesNm)].sort((a, b) => a - b)
  return spectrum.flatMap(({ fromNm, toNm, value }) => {
    const inside = ordered.filter((edgeNm) => edgeNm > fromNm && edgeNm < toNm)
    let startNm = fromNm
    return [...inside, toNm].map((endNm) => {
      const step = { fromNm: startNm, toNm: endNm, value }
      startNm = endNm
      return step
    })
  })
}

/**
 * Mean of a spectrum over a window.
 *
 * @param input.spectrum  any
 * @param input.fromNm  300 to below `toNm`
 * @param input.toNm  up to 1100
 * @returns mean, in the unit of the spectrum
 * @derived width-weighted mean of the steps
 */
export function spectrumMean(input: { spectrum: StepSpectrum; fromNm: number; toNm: number }): number {
  const { spectrum, fromNm, toNm } = input
  const parts = spectrum.map((step) => {
    const widthNm = Math.min(step.toNm, toNm) - Math.max(step.fromNm, fromNm)
    return Math.max(0, widthNm) * step.value
  })
  return parts.reduce((sum, part) => sum + part, 0) / (toNm - fromNm)
}

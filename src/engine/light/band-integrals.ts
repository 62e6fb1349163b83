// The integrals over wavelength that every question about a response comes down to. They cost a thousand times what
// the rest of an answer costs and depend on the response alone, or on it and two or three numbers, so they are kept
// with the response they belong to. This memo is invisible: it changes no result, is bounded, and goes when its
// response goes.

import { extinctionAt, extinctionCurve, OZONE_ABSORPTION, VISUAL_NM } from './extinction-curve.ts'
import type { LineName } from './emission-lines.ts'
import { RAYLEIGH_PHOTONS_PER_SECOND_M2_ARCSEC2, TARGET_LINES } from './emission-lines.ts'
import { transmittance } from './extinction.ts'
import type { LampName } from './lamp-spectra.ts'
import { LAMP_NAMES, LAMP_STEPS, SOLAR_V_ZERO_SPECTRUM, SUN_STEPS } from './lamp-spectra.ts'
import { AIRGLOW_LINES, GEOCORONA, NATURAL_SKY_SPECTRUM } from './natural-sky-spectrum.ts'
import type { Response } from './response.ts'
import { responseAt, responseIntegral, stepIntegrals } from './response.ts'
import { dividedSpectrum, LONGEST_NM, SHORTEST_NM, spectrumMean } from './spectrum.ts'
import { V_ZERO_PHOTONS_PER_SECOND_M2_NM } from './zero-points.ts'

/** How many integrals with extinction a response keeps; the oldest go first. */
const KEPT_PER_RESPONSE = 32

const MAGNITUDE_EXPONENT = -0.4 * Math.LN10

/** Extinction bends where the ozone table does; between these it is smooth and changes little. */
const SMOOTH_EDGES_NM = [
  ...OZONE_ABSORPTION.table.map(({ wavelengthNm }) => wavelengthNm),
  ...Array.from({ length: (LONGEST_NM - SHORTEST_NM) / 20 }, (_, index) => SHORTEST_NM + 20 * index),
]
const SOLAR_IN_SMOOTH_STEPS = dividedSpectrum(SOLAR_V_ZERO_SPECTRUM, SMOOTH_EDGES_NM)
const SUN_IN_SMOOTH_STEPS = dividedSpectrum(SUN_STEPS, SMOOTH_EDGES_NM)

/** A stretch of wavelength with the value of every sky spectrum: photons s-1 m-2 nm-1 arcsec-2. */
interface SkyStep {
  readonly fromNm: number
  readonly toNm: number
  readonly natural: number
  /** Of V = 0. */
  readonly lamps: Readonly<Record<LampName, number>>
}

/** All sky spectra on one set of steps, so that a response is integrated once for all of them. */
const SKY_STEPS = skySteps()

function skySteps(): readonly SkyStep[] {
  const edgesNm = Object.values(LAMP_STEPS).flatMap((spectrum) => spectrum.map(({ toNm }) => toNm))
  return dividedSpectrum(NATURAL_SKY_SPECTRUM, edgesNm).map(({ fromNm, toNm, value }) => {
    const lamps = zeroForEachLamp()
    for (const name of LAMP_NAMES) {
      lamps[name] = V_ZERO_PHOTONS_PER_SECOND_M2_NM * spectrumMean({ spectrum: LAMP_STEPS[name], fromNm, toNm })
    }
    return { fromNm, toNm, natural: value, lamps }
  })
}

function zeroForEachLamp(): Record<LampName, number> {
  return {
    'high-pressure-sodium': 0,
    'metal-halide-warm': 0,
    'metal-halide-cold': 0,
    'led-3000k': 0,
    'led-4100k': 0,
    'led-6600k': 0,
  }
}

/** Electrons s-1 m-2 arcsec-2 of the sky's parts: natural ones at V = 21.9, each lamp at V = 0. */
export interface SkyIntegrals {
  readonly continuum: number
  readonly airglowLines: number
  readonly geocorona: number
  readonly lamps: Readonly<Record<LampName, number>>
}

/** Extinction toward the target and, for moonlight, toward the Moon. */
interface AirPath {
  readonly extinctionMagPerAirmass: number
  readonly airmass: number
  readonly moonAirmass: number
}

interface Kept {
  sky: SkyIntegrals | undefined
  readonly solar: RecentResults
  readonly moonlight: RecentResults
  readonly lines: Partial<Record<LineName, RecentResults>>
}

/** The last few results of a costly function of an {@link AirPath}. */
class RecentResults {
  readonly #results: (AirPath & { readonly value: number })[] = []

  /** The result kept for a path, or a new one. */
  of(path: AirPath, compute: () => number): number {
    for (const kept of this.#results) {
      if (
        kept.airmass === path.airmass &&
        kept.moonAirmass === path.moonAirmass &&
        kept.extinctionMagPerAirmass === path.extinctionMagPerAirmass
      ) {
        return kept.value
      }
    }
    const value = compute()
    if (this.#results.length === KEPT_PER_RESPONSE) this.#results.shift()
    this.#results.push({ ...path, value })
    return value
  }
}

/** Kept for a scale of 1, so that responses which differ by a number alone share them. */
const keptByPieces = new WeakMap<Response['pieces'], Kept>()

function keptWith({ pieces }: Response): Kept {
  const known = keptByPieces.get(pieces)
  if (known !== undefined) return known
  const fresh: Kept = { sky: undefined, solar: new RecentResults(), moonlight: new RecentResults(), lines: {} }
  keptByPieces.set(pieces, fresh)
  return fresh
}

/**
 * What the parts of a sky give through a response.
 *
 * @param response  of the system
 * @returns electrons s-1 m-2 arcsec-2: natural parts as of V = 21.9, lamps as of V = 0
 * @derived ∫ L R dλ of each spectrum, and Σ rayleighs · R(λ) of the lines
 */
export function skyIntegrals(response: Response): SkyIntegrals {
  const kept = keptWith(response)
  kept.sky ??= newSkyIntegrals(unscaled(response))
  const { scale } = response
  if (scale === 1) return kept.sky
  const { continuum, airglowLines, geocorona } = kept.sky
  const lamps = zeroForEachLamp()
  for (const name of LAMP_NAMES) lamps[name] = scale * kept.sky.lamps[name]
  return { continuum: scale * continuum, airglowLines: scale * airglowLines, geocorona: scale * geocorona, lamps }
}

const unscaled = ({ pieces }: Response): Response => ({ pieces, scale: 1 })

function newSkyIntegrals(response: Response): SkyIntegrals {
  let continuum = 0
  const lamps = zeroForEachLamp()
  for (const { step, integralNm } of stepIntegrals({ response, steps: SKY_STEPS })) {
    continuum += step.natural * integralNm
    for (const name of LAMP_NAMES) lamps[name] += step.lamps[name] * integralNm
  }
  return {
    continuum,
    airglowLines: linesThrough(response, AIRGLOW_LINES),
    geocorona: linesThrough(response, [GEOCORONA]),
    lamps,
  }
}

function linesThrough(response: Response, lines: readonly { airNm: number; rayleighs: number }[]): number {
  const rayleighs = lines.reduce((sum, line) => sum + line.rayleighs * responseAt(response, line.airNm), 0)
  return rayleighs * RAYLEIGH_PHOTONS_PER_SECOND_M2_ARCSEC2
}

/**
 * A solar-coloured source of V = 0 outside the atmosphere, seen through air and system.
 *
 * @param input.response  of the system
 * @param input.extinctionMagPerAirmass  k in V; 0 to 5
 * @param input.airmass  X; 0 to 40
 * @returns electrons s-1 m-2 (arcsec-2 for a surface)
 * @throws {EngineError} `out-of-range`
 * @derived ∫ L R 10^(-0.4 k(λ) X) dλ
 */
export function solarIntegral(input: { response: Response; extinctionMagPerAirmass: number; airmass: number }): number {
  const { response, extinctionMagPerAirmass, airmass } = input
  const path = { extinctionMagPerAirmass, airmass, moonAirmass: 0 }
  const unit = keptWith(response).solar.of(path, () => {
    const curve = extinctionCurve(extinctionMagPerAirmass)
    const transmission = (nm: number) => Math.exp(MAGNITUDE_EXPONENT * airmass * extinctionAt(curve, nm))
    return responseIntegral({ response: unscaled(response), spectrum: SOLAR_IN_SMOOTH_STEPS, transmission })
  })
  return response.scale * unit
}

/**
 * Scattered moonlight of V = 0, seen through the system.
 *
 *     L(λ) = Sun(λ) · s(λ)/s(550 nm),  s = T_moon(λ) (1 - T_target(λ)),  T = 10^(-0.4 k(λ) X)
 *
 * @param input.response  of the system
 * @param input.extinctionMagPerAirmass  k in V; above 0, to 5
 * @param input.airmass  of the target; 1 to 40
 * @param input.moonAirmass  of the Moon; 1 to 40
 * @returns electrons s-1 m-2 arcsec-2
 * @throws {EngineError} `out-of-range`
 * @derived the V law of Krisciunas & Schaefer 1991, PASP 103, 1033, at every wavelength
 */
export function moonlightIntegral(input: {
  response: Response
  extinctionMagPerAirmass: number
  airmass: number
  moonAirmass: number
}): number {
  const { response, ...path } = input
  const unit = keptWith(response).moonlight.of(path, () => {
    const curve = extinctionCurve(path.extinctionMagPerAirmass)
    const scattered = (nm: number) => {
      const exponent = MAGNITUDE_EXPONENT * extinctionAt(curve, nm)
      return -Math.exp(exponent * path.moonAirmass) * Math.expm1(exponent * path.airmass)
    }
    const scale = V_ZERO_PHOTONS_PER_SECOND_M2_NM / scattered(VISUAL_NM)
    const spectrum = SUN_IN_SMOOTH_STEPS
    return scale * responseIntegral({ response: unscaled(response), spectrum, transmission: scattered })
  })
  return response.scale * unit
}

/**
 * One rayleigh of a line outside the atmosphere, seen through air and system.
 *
 * @param input.response  of the system
 * @param input.line  which line or lines, see {@link TARGET_LINES}
 * @param input.extinctionMagPerAirmass  k in V; 0 to 5
 * @param input.airmass  X; 0 to 40
 * @returns electrons s-1 m-2 arcsec-2
 * @throws {EngineError} `out-of-range`
 * @derived Σ share · R(λ) · 10^(-0.4 k(λ) X) over the lines
 */
export function lineIntegral(input: {
  response: Response
  line: LineName
  extinctionMagPerAirmass: number
  airmass: number
}): number {
  const { response, line, extinctionMagPerAirmass, airmass } = input
  const results = (keptWith(response).lines[line] ??= new RecentResults())
  const unit = results.of({ extinctionMagPerAirmass, airmass, moonAirmass: 0 }, () => {
    const curve = extinctionCurve(extinctionMagPerAirmass)
    let perRayleigh = 0
    for (const { airNm, share } of TARGET_LINES[line]) {
      const dimming = transmittance({ extinctionMagPerAirmass: extinctionAt(curve, airNm), airmass })
      perRayleigh += share * responseAt(unscaled(response), airNm) * dimming
    }
    return RAYLEIGH_PHOTONS_PER_SECOND_M2_ARCSEC2 * perRayleigh
  })
  return response.scale * unit
}

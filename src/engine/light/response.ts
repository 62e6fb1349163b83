// The share of photons that become electrons, over wavelength: a product of numbers and tables, held as pieces on
// each of which every table is a straight line, so that integrals over it are exact.

import { integrate } from '../quadrature.ts'
import type { CurveSegment, NumberOrCurve } from './curve.ts'
import { curveSegments } from './curve.ts'
import type { StepSpectrum } from './spectrum.ts'
import { LONGEST_NM, SHORTEST_NM } from './spectrum.ts'

/** A stretch on which the response is `scale` times the product of straight lines. */
export interface ResponsePiece {
  readonly fromNm: number
  readonly toNm: number
  readonly scale: number
  readonly lines: readonly CurveSegment[]
}

/** Electrons per photon at the aperture, over wavelength; 0 wherever there is no piece. */
export interface Response {
  /** The factors that wavelength has a say in. Responses that differ by plain numbers alone may share them. */
  readonly pieces: readonly ResponsePiece[]
  /** The product of the others, 0 to 1. */
  readonly scale: number
}

/**
 * Response of a system.
 *
 * @param factors  shares, each a number or a table (0 outside its ends); checked beforehand by `requireShare`
 * @returns their product over 300 to 1100 nm
 * @derived independent losses multiply
 */
export function responseOf(factors: readonly NumberOrCurve[]): Response {
  const curves = factors.filter((factor) => typeof factor !== 'number').map((curve) => curveSegments(curve))
  const numbers = factors.filter((factor) => typeof factor === 'number')
  const scale = numbers.reduce((product, number) => product * number, 1)
  const edges = curves.flatMap((segments) => segments.flatMap(({ fromNm, toNm }) => [fromNm, toNm]))
  const pieces: ResponsePiece[] = []
  let fromNm = SHORTEST_NM
  for (const toNm of [...new Set(edges), LONGEST_NM].sort((a, b) => a - b)) {
    if (toNm <= fromNm || toNm > LONGEST_NM) continue
    const piece = pieceBetween({ fromNm, toNm, curves })
    if (piece !== undefined) pieces.push(piece)
    fromNm = toNm
  }
  return { pieces, scale }
}

/** The piece between two wavelengths inside which no table bends, or nothing where the response is 0. */
function pieceBetween(input: {
  fromNm: number
  toNm: number
  curves: readonly (readonly CurveSegment[])[]
}): ResponsePiece | undefined {
  const middleNm = (input.fromNm + input.toNm) / 2
  const lines: CurveSegment[] = []
  let scale = 1
  for (const segments of input.curves) {
    const line = segments.find(({ fromNm, toNm }) => middleNm > fromNm && middleNm < toNm)
    if (line === undefined) return undefined
    if (line.slopePerNm === 0) scale *= line.valueAtFrom
    else lines.push(line)
  }
  return scale === 0 ? undefined : { fromNm: input.fromNm, toNm: input.toNm, scale, lines }
}

/**
 * Response at a wavelength. At the edge of a top hat the line counts as inside.
 *
 * @param response  from {@link responseOf}
 * @param wavelengthNm  any
 * @returns electrons per photon; 0 to 1
 * @derived product of the factors
 */
export function responseAt(response: Response, wavelengthNm: number): number {
  const piece = response.pieces.find(({ fromNm, toNm }) => wavelengthNm >= fromNm && wavelengthNm <= toNm)
  return piece === undefined ? 0 : response.scale * pieceAt(piece, wavelengthNm)
}

function pieceAt({ scale, lines }: ResponsePiece, wavelengthNm: number): number {
  let product = scale
  for (const { fromNm, valueAtFrom, slopePerNm } of lines) {
    product *= valueAtFrom + slopePerNm * (wavelengthNm - fromNm)
  }
  return product
}

/**
 * Response integrated over each step of a spectrum that it overlaps.
 *
 *     ∫ R(λ) T(λ) dλ
 *
 * Exact for the piecewise straight factors; `transmission` should be smooth within each step.
 *
 * @param input.response  R
 * @param input.steps  stretches of wavelength
 * @param input.transmission  T, a further factor by wavelength in nm; 1 when left out
 * @returns integrals in nm, with the step of each; a step may come several times, in parts
 * @derived Gauss-Legendre quadrature on every stretch without a break
 */
export function stepIntegrals<Step extends { readonly fromNm: number; readonly toNm: number }>(input: {
  response: Response
  steps: readonly Step[]
  transmission?: (wavelengthNm: number) => number
}): { step: Step; integralNm: number }[] {
  const { response, steps, transmission } = input
  const integrals: { step: Step; integralNm: number }[] = []
  for (const piece of response.pieces) {
    const integrand =
      transmission === undefined
        ? (nm: number) => pieceAt(piece, nm)
        : (nm: number) => pieceAt(piece, nm) * transmission(nm)
    for (const step of steps) {
      const fromNm = Math.max(piece.fromNm, step.fromNm)
      const toNm = Math.min(piece.toNm, step.toNm)
      if (toNm > fromNm) integrals.push({ step, integralNm: response.scale * integrate(integrand, fromNm, toNm) })
    }
  }
  return integrals
}

/**
 * Electrons of a spectrum through a response.
 *
 *     E = ∫ L(λ) R(λ) T(λ) dλ
 *
 * @param input.response  R
 * @param input.spectrum  L, per nm
 * @param input.transmission  T, a further factor by wavelength in nm; 1 when left out
 * @returns the integral, in the unit of the spectrum times nm
 * @derived sum over the steps, see {@link stepIntegrals}
 */
export function responseIntegral(input: {
  response: Response
  spectrum: StepSpectrum
  transmission?: (wavelengthNm: number) => number
}): number {
  const { spectrum: steps, ...rest } = input
  return stepIntegrals({ ...rest, steps }).reduce((sum, { step, integralNm }) => sum + step.value * integralNm, 0)
}

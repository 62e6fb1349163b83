// Two models of ln(rate) over temperature: thermal, a straight line in 1/T; and thermal on top of a rate that does not
// depend on temperature, as amplifier glow and light leaks leave it. Both report parameters, covariance and prediction
// in the same form, so that the fit can weigh one against the other.

import { fitLine } from './linear-fit.ts'
import { inverseSymmetric3, multiply3 } from './matrix3.ts'
import type { SymmetricMatrix3, Vector3 } from './matrix3.ts'

export interface ThermalPoint {
  /** (1/T₀ − 1/T)/k, per electronvolt; 0 at the reference temperature. */
  x: number
  /** ln of the rate. */
  y: number
  /** 1/variance of y, or only proportional to it; > 0. */
  weight: number
}

export interface ThermalParameter {
  value: number
  /** For weights that are 1/variance. */
  variance: number
}

export interface ThermalModel {
  /** ln of the thermal rate at the reference. */
  lnReference: ThermalParameter
  activationEnergyElectronVolts: ThermalParameter
  /** ln of the rate that does not depend on temperature; null in the purely thermal model. */
  lnConstant: ThermalParameter | null
  chiSquare: number
  degreesOfFreedom: number
  /** ln of the rate at x, with the variance that the parameters bring to it. */
  predict: (x: number) => ThermalParameter
  /** The same model fitted to other points, from where this fit ended. */
  refit: (points: readonly ThermalPoint[]) => ThermalModel
}

/**
 * Purely thermal model.
 *
 *     ln D = ln D₀ + E x
 *
 * @param points  at least two different x
 * @returns the model
 * @throws {EngineError} `not-enough-data`
 * @source Arrhenius' law
 */
export function fitThermal(points: readonly ThermalPoint[]): ThermalModel {
  const { intercept, slope, interceptVariance, slopeVariance, covariance, chiSquare, degreesOfFreedom } =
    fitLine(points)
  return {
    lnReference: { value: intercept, variance: interceptVariance },
    activationEnergyElectronVolts: { value: slope, variance: slopeVariance },
    lnConstant: null,
    chiSquare,
    degreesOfFreedom,
    predict: (x) => ({
      value: intercept + slope * x,
      variance: interceptVariance + 2 * x * covariance + x ** 2 * slopeVariance,
    }),
    refit: fitThermal,
  }
}

/**
 * Thermal model on top of a constant rate.
 *
 *     ln D = ln(D₀ e^{E x} + G)
 *
 * @param points  at least three
 * @returns the best descent of several starts
 * @source Arrhenius' law with an added constant; descent of Marquardt 1963, J. SIAM 11, 431 (from memory)
 */
export function fitThermalAndConstant(points: readonly ThermalPoint[]): ThermalModel {
  const coldest = Math.min(...points.map(({ y }) => y))
  const warmest = points.reduce((best, point) => (point.y > best.y ? point : best))
  const ends = START_SHARES.flatMap((share) =>
    START_ENERGIES.map((energy) =>
      descend(points, [warmest.y - energy * warmest.x, energy, coldest + Math.log(share)]),
    ),
  )
  return modelAt(
    points,
    ends.reduce((best, end) => (end.chiSquare < best.chiSquare ? end : best)),
  )
}

function modelAt(points: readonly ThermalPoint[], { parameters, chiSquare }: Descent): ThermalModel {
  const covariance = invertedInformation(points, parameters, 0)
  return {
    lnReference: { value: parameters[0], variance: covariance.m00 },
    activationEnergyElectronVolts: { value: parameters[1], variance: covariance.m11 },
    lnConstant: { value: parameters[2], variance: covariance.m22 },
    chiSquare,
    degreesOfFreedom: points.length - 3,
    predict: (x) => {
      const { value, gradient } = evaluate(parameters, x)
      const spread = multiply3(covariance, gradient)
      return { value, variance: gradient[0] * spread[0] + gradient[1] * spread[1] + gradient[2] * spread[2] }
    },
    refit: (others) => modelAt(others, descend(others, parameters)),
  }
}

/** Starting points: the constant as a share of the coldest rate, and energies about half the gap (eV). */
const START_SHARES = [0.2, 0.6, 0.95]
const START_ENERGIES = [0.4, 0.8]

/** Information that is always there, as a share of the data's: keeps a parameter that the data leave open finite. */
const WEAK_PRIOR = 1e-12

function evaluate(parameters: Vector3, x: number): { value: number; gradient: Vector3 } {
  const thermal = parameters[0] + parameters[1] * x
  const constant = parameters[2]
  // ln(eᵃ + eᵇ) about the larger of the two, so that neither overflows.
  const larger = Math.max(thermal, constant)
  const value = larger + Math.log(Math.exp(thermal - larger) + Math.exp(constant - larger))
  const thermalShare = Math.exp(thermal - value)
  return { value, gradient: [thermalShare, thermalShare * x, Math.exp(constant - value)] }
}

function chiSquareAt(points: readonly ThermalPoint[], parameters: Vector3): number {
  return points.reduce((sum, { x, y, weight }) => sum + weight * (y - evaluate(parameters, x).value) ** 2, 0)
}

/** Inverse of Jᵀ W J, its diagonal raised by Marquardt's damping; without damping, the covariance matrix. */
function invertedInformation(points: readonly ThermalPoint[], parameters: Vector3, damping: number): SymmetricMatrix3 {
  const floor = WEAK_PRIOR * points.reduce((sum, { weight }) => sum + weight, 0)
  const sum: SymmetricMatrix3 = { m00: floor, m01: 0, m02: 0, m11: floor, m12: 0, m22: floor }
  for (const { x, weight } of points) {
    const [a, b, c] = evaluate(parameters, x).gradient
    sum.m00 += weight * a * a * (1 + damping)
    sum.m01 += weight * a * b
    sum.m02 += weight * a * c
    sum.m11 += weight * b * b * (1 + damping)
    sum.m12 += weight * b * c
    sum.m22 += weight * c * c * (1 + damping)
  }
  return inverseSymmetric3(sum, floor)
}

/** Jᵀ W (y − f): the direction in which chi-square falls. */
function descentDirection(points: readonly ThermalPoint[], parameters: Vector3): Vector3 {
  const direction: Vector3 = [0, 0, 0]
  for (const { x, y, weight } of points) {
    const { value, gradient } = evaluate(parameters, x)
    for (const index of [0, 1, 2] as const) direction[index] += weight * gradient[index] * (y - value)
  }
  return direction
}

interface Descent {
  parameters: Vector3
  chiSquare: number
}

/** Marquardt's descent: the damping falls after a step that helps and rises after one that does not. */
function descend(points: readonly ThermalPoint[], start: Vector3): Descent {
  let parameters = start
  let chiSquare = chiSquareAt(points, parameters)
  let damping = 1e-3
  for (let step = 0; step < 200 && damping < 1e9; step++) {
    const inverse = invertedInformation(points, parameters, damping)
    const change = multiply3(inverse, descentDirection(points, parameters))
    const next: Vector3 = [parameters[0] + change[0], parameters[1] + change[1], parameters[2] + change[2]]
    const nextChiSquare = chiSquareAt(points, next)
    const fall = chiSquare - nextChiSquare
    if (fall > 0) {
      parameters = next
      chiSquare = nextChiSquare
    }
    if (Math.abs(fall) <= 1e-14 * chiSquare) break
    damping *= fall > 0 ? 0.1 : 10
  }
  return { parameters, chiSquare }
}

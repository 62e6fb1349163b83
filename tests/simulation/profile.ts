// The image of a star before pixels cut it up.

import type { Draws } from './draws.ts'

/** Lengths in pixels of the frame. Without a beta the profile is Gaussian, with one it is Moffat's. */
export interface Profile {
  fwhmPx: number
  moffatBeta?: number | undefined
}

/** Where one photon of a star at the origin lands. */
export function landing({ fwhmPx, moffatBeta }: Profile, draws: Draws): { x: number; y: number } {
  if (moffatBeta === undefined) {
    const deviation = fwhmPx / (2 * Math.sqrt(2 * Math.LN2))
    return { x: deviation * draws.normal(), y: deviation * draws.normal() }
  }
  const radius = moffatCore(fwhmPx, moffatBeta) * Math.sqrt((1 - draws.uniform()) ** (1 / (1 - moffatBeta)) - 1)
  const angle = 2 * Math.PI * draws.uniform()
  return { x: radius * Math.cos(angle), y: radius * Math.sin(angle) }
}

/** Share of a star's photons that land in a square, by adding up the profile over it. */
export function shareInSquare(profile: Profile, square: { x: number; y: number; side: number }): number {
  const pieces = Math.ceil((6 * square.side) / profile.fwhmPx)
  const step = square.side / pieces
  let sum = 0
  for (let i = 0; i < pieces; i++) {
    for (let j = 0; j < pieces; j++) {
      for (const [a, weightA] of GAUSS_POINTS) {
        for (const [b, weightB] of GAUSS_POINTS) {
          const x = square.x - square.side / 2 + (i + a) * step
          const y = square.y - square.side / 2 + (j + b) * step
          sum += weightA * weightB * density(profile, x * x + y * y)
        }
      }
    }
  }
  return sum * step * step
}

/** Nodes and weights of three-point Gauss-Legendre quadrature on 0 to 1. */
const GAUSS_POINTS = [
  [0.5 - Math.sqrt(0.15), 5 / 18],
  [0.5, 8 / 18],
  [0.5 + Math.sqrt(0.15), 5 / 18],
] as const

function density({ fwhmPx, moffatBeta }: Profile, radiusSquared: number): number {
  if (moffatBeta === undefined) {
    const variance = (fwhmPx * fwhmPx) / (8 * Math.LN2)
    return Math.exp(-radiusSquared / (2 * variance)) / (2 * Math.PI * variance)
  }
  const core = moffatCore(fwhmPx, moffatBeta)
  return ((moffatBeta - 1) / (Math.PI * core * core)) * (1 + radiusSquared / (core * core)) ** -moffatBeta
}

/** Radius in the profile (1 + r²/core²)^-beta (Moffat 1969) at which it has this full width at half maximum. */
function moffatCore(fwhmPx: number, moffatBeta: number): number {
  return fwhmPx / (2 * Math.sqrt(2 ** (1 / moffatBeta) - 1))
}

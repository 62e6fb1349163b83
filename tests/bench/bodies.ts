// Many different questions about sub lengths, so that no constant body flatters anybody. Seeded: every run asks the same.

import { GARDEN, H_ALPHA_7NM, MEADOW, MEMBERS } from '../../src/contract/heron-ridge.ts'

const BODIES = 400

/** Small multiplicative generator (Park & Miller 1988, CACM 31, 1192); chance here only has to differ. */
function generator(seed: number): () => number {
  let state = seed
  return () => {
    state = (state * 16807) % 2147483647
    return state / 2147483647
  }
}

export function benchRequests(): object[] {
  const random = generator(20261125)
  const between = (low: number, high: number) => Number((low + (high - low) * random()).toPrecision(4))
  return Array.from({ length: BODIES }, (_, index) => {
    const member = Object.values(MEMBERS)[index % 4]
    return {
      camera: { ...member?.camera, readNoiseElectrons: between(1, 10) },
      optics: { ...member?.optics, apertureMm: between(50, 250), focalLengthMm: between(300, 1200), obstructionMm: 10 },
      filter: index % 3 === 0 ? H_ALPHA_7NM : { band: 'luminance' },
      sky: { ...(index % 2 === 0 ? GARDEN : MEADOW), magPerArcsec2: between(18, 21.9) },
      target: { line: 'h-alpha', rayleighs: between(5, 500) },
      plan: {
        ...member?.plan,
        unclippedStarMag: between(12, 15),
        availableSeconds: between(3600, 30000),
        overheadSeconds: between(1, 30),
        subLadderSeconds: [1, 5, 15, 30, 60, 120, 180, 240, 300, 600, 900, 1200, 1800],
      },
    }
  })
}

// Where in a request the engine's names for its inputs come from, so that a refusal points at something the caller wrote.

import { ProblemError } from '../contract/problem.ts'
import type { EngineError } from '../engine/index.ts'

/** Engine field → pointers that may stand behind it; the first that the request has is the one. */
const POINTERS: Record<string, readonly string[]> = {
  ladderSeconds: ['/plan/subLadderSeconds'],
  'star-clipping': ['/plan/unclippedStarMag', '/target/starMag', '/target/starElectronsPerSecond'],
  'sky-background': ['/sky'],
  tracking: ['/plan/longestTrackedSeconds', '/plan/tracking'],
  'longest-sub': ['/plan/longestSubSeconds'],
  interruptionsPerSecond: ['/plan/interruptionsPerHour'],
  snr: ['/goal/snr'],
  subSeconds: ['/plan/subSeconds'],
  target: ['/target'],
  altitudeDegrees: ['/sky/targetAltitudeDegrees'],
  backgroundVariancePerPx: ['/plan/apertureRadiusArcsec'],
  nakedEyeLimitMag: ['/sky/nakedEyeLimitMag'],
  limitMag: ['/sky/nakedEyeLimitMag'],
  fwhmPx: ['/plan/fwhmArcsec', '/plan'],
  radiusPx: ['/plan/apertureRadiusArcsec'],
  'sky.moon.separationDegrees': ['/sky/moon/separationDegrees'],
  'reference.electronsPerPixelSecond': ['/camera/darkCurrent/electronsPerPixelSecond', '/camera'],
  skyElectronsPerPixelSecond: ['/sky'],
  targetElectronsPerPixelSecond: ['/target'],
  coolerReachCelsius: ['/camera/cooler/reachCelsius'],
  rates: ['/rates', '/darks'],
  'rates.length': ['/rates', '/darks'],
  electronsPerPixelSecond: ['/rates', '/darks', '/camera/darkCurrent'],
  meanElectrons: ['/darks', '/camera/electronsPerAdu'],
  standardUncertainty: ['/rates', '/darks'],
  subCount: ['/plan/subCount', '/plan/availableSeconds'],
  ditherPositions: ['/plan/calibration/ditherPositions'],
  flatElectrons: ['/plan/calibration/flatElectrons', '/camera/fullWellElectrons'],
  'variance of one sub': ['/camera/readNoiseElectrons', '/camera'],
  hotPixelElectronsPerSecond: ['/hotPixelElectronsPerSecond', '/camera/darkCurrent'],
  darkElectronsPerPixelSecond: ['/camera/darkCurrent', '/camera'],
  quantizationElectrons2: ['/camera/electronsPerAdu', '/camera'],
  levels: ['/levels', '/readModes'],
}

/** The engine's refusal as a problem that points into the request. */
export function engineProblem(error: EngineError, request: unknown): ProblemError {
  const candidates = POINTERS[error.details.field ?? ''] ?? []
  const pointer = candidates.find((candidate) => has(request, candidate)) ?? candidates[0] ?? ''
  const { given, allowed } = error.details
  const facts = [given === undefined ? '' : `given ${plain(given)}`, allowed === undefined ? '' : `allowed: ${allowed}`]
  const message = facts.filter((fact) => fact !== '').join('; ')
  return new ProblemError('no-answer', error.message, [{ pointer, message: message === '' ? error.message : message }])
}

/** Numbers that were reckoned come with digits nobody needs. */
function plain(given: string | number): string {
  return typeof given === 'number' ? String(Number(given.toPrecision(6))) : given
}

function has(request: unknown, pointer: string): boolean {
  let node = request
  for (const key of pointer.split('/').slice(1)) {
    if (typeof node !== 'object' || node === null || !(key in node)) return false
    node = (node as Record<string, unknown>)[key]
  }
  return node !== undefined
}

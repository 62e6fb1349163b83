// Parts of an answer that callers send back as parts of a request: numbers with their uncertainties where known, and only
// what the contract would accept.

import { CameraSchema } from '../contract/camera.ts'
import type { MeasuredValue } from '../engine/index.ts'
import type { Notes } from './notes.ts'

type Sendable = number | { value: number; standardUncertainty: number }

/** A measured value as a request takes it. */
export function sendable({ value, standardUncertainty }: MeasuredValue): Sendable {
  return standardUncertainty === null ? value : { value, standardUncertainty }
}

interface DarkCurrent {
  electronsPerPixelSecond: MeasuredValue
  atCelsius: number
  doublingCelsius?: MeasuredValue
}

/** A part of `camera`; what the contract's ranges would refuse is left out, and said. */
export interface CameraNumbers {
  electronsPerAdu?: MeasuredValue
  readNoiseElectrons?: MeasuredValue
  fullWellElectrons?: MeasuredValue
  offsetAdu?: number
  bitDepth?: number
  darkCurrent?: DarkCurrent | null
}

export interface CameraPart {
  electronsPerAdu?: Sendable
  readNoiseElectrons?: Sendable
  fullWellElectrons?: Sendable
  offsetAdu?: number
  bitDepth?: number
  darkCurrent?: { electronsPerPixelSecond: Sendable; atCelsius: number; doublingCelsius?: Sendable }
}

/** The part of a camera that these numbers make. */
export function cameraPart(numbers: CameraNumbers, notes: Notes): CameraPart {
  const { electronsPerAdu, readNoiseElectrons, fullWellElectrons, offsetAdu, bitDepth, darkCurrent } = numbers
  const part: CameraPart = {
    ...(electronsPerAdu !== undefined && { electronsPerAdu: sendable(electronsPerAdu) }),
    ...(readNoiseElectrons !== undefined && { readNoiseElectrons: sendable(readNoiseElectrons) }),
    ...(fullWellElectrons !== undefined && { fullWellElectrons: sendable(fullWellElectrons) }),
    ...(offsetAdu !== undefined && { offsetAdu }),
    ...(bitDepth !== undefined && { bitDepth }),
    ...(darkCurrent !== undefined && darkCurrent !== null && { darkCurrent: darkCurrentPart(darkCurrent) }),
  }
  return acceptable(part, notes)
}

function darkCurrentPart(it: DarkCurrent): NonNullable<CameraPart['darkCurrent']> {
  const part = { electronsPerPixelSecond: sendable(it.electronsPerPixelSecond), atCelsius: it.atCelsius }
  if (it.doublingCelsius === undefined) return part
  const whole = { ...part, doublingCelsius: sendable(it.doublingCelsius) }
  // Without the step the physical form of silicon stands in.
  return CameraSchema.safeParse({ darkCurrent: whole }).success ? whole : part
}

function acceptable(part: CameraPart, notes: Notes): CameraPart {
  const refused = Object.entries<unknown>({ ...part }).filter(
    ([name, value]) => !CameraSchema.safeParse({ [name]: value }).success,
  )
  if (refused.length === 0) return part
  const names = refused.map(([name]) => name)
  notes.explain(`Left out of \`camera\`, since no camera has such a value: ${names.join(', ')}.`)
  return Object.fromEntries(Object.entries(part).filter(([name]) => !names.includes(name)))
}

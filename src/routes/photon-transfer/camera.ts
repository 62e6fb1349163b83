// The measured camera, as the other questions take it.

import type { Notes } from '../../setup/notes.ts'
import { cameraPart, type CameraPart } from '../../setup/sendable.ts'
import type { Request } from './request.ts'
import type { ModeResult, Solution } from './solve.ts'

type CompleteMode = Required<Pick<CameraPart, 'electronsPerAdu' | 'readNoiseElectrons' | 'fullWellElectrons'>> & {
  label: string
}

/** With several complete read modes they stand side by side; else the figures of the first mode stand alone. */
export function cameraOf({ first, modes }: Solution, request: Request, notes: Notes) {
  const complete = modes.length > 1 ? modes.flatMap((mode) => completeMode(mode, notes)) : []
  const { darkCurrent, offsetAdu } = first
  const shared = {
    offsetAdu,
    ...(request.bitDepth !== undefined && { bitDepth: request.bitDepth }),
    ...(darkCurrent !== null &&
      request.darksCelsius !== undefined && {
        darkCurrent: { electronsPerPixelSecond: darkCurrent.byMean, atCelsius: request.darksCelsius },
      }),
  }
  if (complete.length > 0) return { ...cameraPart(shared, notes), readModes: complete }
  return cameraPart({ ...shared, ...numbersOf(first) }, notes)
}

function numbersOf({ electronsPerAdu, readNoiseWithQuantizationElectrons, saturation }: ModeResult) {
  return {
    electronsPerAdu,
    readNoiseElectrons: readNoiseWithQuantizationElectrons,
    ...(saturation !== null && { fullWellElectrons: saturation.fullWellElectrons }),
  }
}

function completeMode(mode: ModeResult, notes: Notes): CompleteMode[] {
  const { electronsPerAdu, readNoiseElectrons, fullWellElectrons } = cameraPart(numbersOf(mode), notes)
  if (electronsPerAdu === undefined || readNoiseElectrons === undefined || fullWellElectrons === undefined) {
    notes.explain(`The mode “${mode.label}” is not in \`camera\`: a read mode there needs a full well too.`)
    return []
  }
  return [{ label: mode.label, electronsPerAdu, readNoiseElectrons, fullWellElectrons }]
}

// From pair statistics in a request to the figures of each read mode.

import { ProblemError } from '../../contract/problem.ts'
import { EngineError, photonTransfer, type PhotonTransfer } from '../../engine/index.ts'
import type { Notes } from '../../setup/notes.ts'
import { checkLadder } from './ladder.ts'
import type { Ladder, Request } from './request.ts'

export interface ModeResult extends PhotonTransfer {
  label: string
  pointer: string
}

export interface Solution {
  first: ModeResult
  modes: ModeResult[]
}

const ONE_MODE = 'as given'

/** The figures of every read mode of a request. */
export function solve(request: Request, notes: Notes): Solution {
  const ladders = laddersOf(request, notes)
  for (const ladder of ladders) checkLadder(ladder, request.bitDepth, notes)
  checkLabels(ladders, notes)
  notes.settle()
  const modes = ladders.map(modeOf)
  const [first] = modes
  if (first === undefined)
    throw new ProblemError('invalid-request', 'No levels.', [{ pointer: '/levels', message: 'missing' }])
  notes.cite(
    'EMVA 1288 Release 4.0 Linear (16 June 2021)',
    'JCGM 100:2008 (GUM): standard uncertainties',
    'Janesick 2007, Photon Transfer, SPIE PM170: scatter of a variance from a pair of frames',
  )
  return { first, modes }
}

function laddersOf({ levels, darks, readModes }: Request, notes: Notes): Ladder[] {
  if (readModes !== undefined) {
    for (const [name, value] of Object.entries({ levels, darks })) {
      if (value !== undefined) notes.broken(`/${name}`, `stands beside readModes; give each read mode its own ${name}`)
    }
    return readModes.map((mode, index) => ({
      label: mode.label,
      levels: mode.levels,
      darks: mode.darks,
      pointer: `/readModes/${index}`,
    }))
  }
  if (levels === undefined) {
    notes.missing('/levels', 'give the statistics of a ladder of flats, or of several in readModes')
    return []
  }
  return [{ label: ONE_MODE, levels, darks, pointer: '' }]
}

function checkLabels(ladders: readonly Ladder[], notes: Notes): void {
  for (const [index, { label, pointer }] of ladders.entries()) {
    const first = ladders.findIndex((other) => other.label === label)
    if (first < index) notes.broken(`${pointer}/label`, `“${label}” names readModes/${first} already`)
  }
}

function modeOf({ label, levels, darks = [], pointer }: Ladder): ModeResult {
  try {
    const figures = photonTransfer({
      levels: levels.map(withoutUndefined),
      darks: darks.map(({ subSeconds, ...dark }) => withoutUndefined({ ...dark, exposureSeconds: subSeconds })),
    })
    return { label, pointer, ...figures }
  } catch (error) {
    if (!(error instanceof EngineError)) throw error
    const { given, allowed } = error.details
    const range = given === undefined || allowed === undefined ? error.message : `given ${given}; allowed: ${allowed}`
    throw new ProblemError('no-answer', error.message, [{ pointer: `${pointer}/levels`, message: range }])
  }
}

type Defined<T> = { [Key in keyof T]: Exclude<T[Key], undefined> }

/** Optional fields that are absent rather than undefined, as the engine takes them. */
function withoutUndefined<T extends object>(given: T): Defined<T> {
  return Object.fromEntries(Object.entries(given).filter(([, value]) => value !== undefined)) as Defined<T>
}

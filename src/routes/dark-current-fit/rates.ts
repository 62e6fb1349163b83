// Rates with their temperatures, and where in the request each comes from.

import { MOST_RATES } from '../../contract/dark-current-fit.ts'
import { darkRatesFromLevels, type DarkLevel, type DarkRate } from '../../engine/index.ts'
import type { Notes } from '../../setup/notes.ts'
import type { GivenUncertainties } from './given.ts'
import type { Request } from './request.ts'

export interface PlacedRates {
  rates: (DarkRate & { pointers: string[] })[]
  leftOut: { pointers: string[]; celsius: number; reason: string }[]
}

/** Rates as given, or made from darks. Bad fields go to the notes; settle them before the rates are used. */
export function resolveRates(request: Request, given: GivenUncertainties, notes: Notes): PlacedRates {
  const { rates, darks } = request
  if (rates !== undefined && darks !== undefined) {
    for (const name of ['rates', 'darks']) notes.broken(`/${name}`, 'rates and darks at once; give only one of them')
  }
  if (rates !== undefined) {
    checkUncertainties('/rates', 'electronsPerPixelSecond', given.rates, notes)
    return { rates: rates.map((rate, index) => ratePlaced(rate, index, given)), leftOut: [] }
  }
  if (darks === undefined) {
    notes.missing('/rates', 'give rates, or darks')
    return { rates: [], leftOut: [] }
  }
  const levels = levelsOf(request, darks, given, notes)
  notes.settle()
  const placed = ratesOfLevels(levels, knowsOffset(request))
  if (placed.rates.length > MOST_RATES) {
    notes.broken('/darks', `these make ${placed.rates.length} rates, more than the ${MOST_RATES} that are fitted`)
  }
  return placed
}

function ratePlaced(
  rate: NonNullable<Request['rates']>[number],
  index: number,
  given: GivenUncertainties,
): PlacedRates['rates'][number] {
  const standardUncertainty = given.rates[index] ?? null
  return {
    temperatureCelsius: rate.celsius,
    electronsPerPixelSecond: rate.electronsPerPixelSecond,
    ...(standardUncertainty !== null && { standardUncertainty }),
    pointers: [`/rates/${index}`],
  }
}

function checkUncertainties(pointer: string, name: string, given: readonly (number | null)[], notes: Notes): void {
  if (given.every((uncertainty) => uncertainty === null)) return
  for (const [index, uncertainty] of given.entries()) {
    if (uncertainty === null) {
      notes.missing(`${pointer}/${index}`, 'a standard uncertainty, since others have one; give it for all or for none')
    } else if (uncertainty < 1e-12) {
      notes.broken(
        `${pointer}/${index}`,
        `a ${name} with a standard uncertainty of ${uncertainty}; it weighs the fit, so it must be above 0`,
      )
    }
  }
}

type PlacedLevel = DarkLevel & { pointer: string }

function knowsOffset({ darks = [], camera }: Request): boolean {
  return camera?.offsetAdu !== undefined || darks.every(({ meanElectrons }) => meanElectrons !== undefined)
}

function levelsOf(
  { camera }: Request,
  darks: NonNullable<Request['darks']>,
  given: GivenUncertainties,
  notes: Notes,
): PlacedLevel[] {
  const inAdu = darks.some(({ meanAdu }) => meanAdu !== undefined)
  const gain =
    camera?.electronsPerAdu ??
    (inAdu ? notes.missing('/camera/electronsPerAdu', 'needed to turn levels in ADU into electrons') : 1)
  const mixed = inAdu && darks.some(({ meanElectrons }) => meanElectrons !== undefined)
  const offset =
    camera?.offsetAdu ??
    (mixed ? notes.missing('/camera/offsetAdu', 'needed where some levels are in ADU and some in electrons') : 0)
  checkUncertainties('/darks', 'mean level', given.darks, notes)
  return darks.map(({ celsius, subSeconds, meanElectrons, meanAdu }, index) => {
    const pointer = `/darks/${index}`
    if (meanElectrons !== undefined && meanAdu !== undefined) {
      notes.broken(`${pointer}/meanAdu`, 'a level in ADU and in electrons at once; give only one of them')
    }
    const level =
      meanElectrons ??
      (meanAdu === undefined
        ? notes.missing(`${pointer}/meanElectrons`, 'give meanElectrons or meanAdu')
        : (meanAdu - offset) * gain)
    const uncertainty = given.darks[index] ?? null
    return {
      temperatureCelsius: celsius,
      subSeconds,
      meanElectrons: level,
      ...(uncertainty !== null && { standardUncertainty: uncertainty * (meanElectrons === undefined ? gain : 1) }),
      pointer,
    }
  })
}

/** Where the offset is known, one length at a temperature is enough. */
function ratesOfLevels(levels: readonly PlacedLevel[], offsetKnown: boolean): PlacedRates {
  const { rates, oneLengthCelsius } = darkRatesFromLevels(levels)
  const at = (celsius: number) => levels.filter(({ temperatureCelsius }) => temperatureCelsius === celsius)
  const placed = rates.map((rate) => ({
    ...rate,
    pointers: at(rate.temperatureCelsius).map(({ pointer }) => pointer),
  }))
  const result: PlacedRates = { rates: placed, leftOut: [] }
  for (const celsius of oneLengthCelsius) {
    for (const { pointer, subSeconds, meanElectrons, standardUncertainty } of at(celsius)) {
      if (!offsetKnown || subSeconds === 0) {
        const reason =
          subSeconds === 0
            ? 'a frame of no length alone tells no rate'
            : 'darks of one length only: offset and dark current cannot be told apart'
        result.leftOut.push({ pointers: [pointer], celsius, reason })
        continue
      }
      result.rates.push({
        temperatureCelsius: celsius,
        electronsPerPixelSecond: meanElectrons / subSeconds,
        ...(standardUncertainty !== undefined && { standardUncertainty: standardUncertainty / subSeconds }),
        pointers: [pointer],
      })
    }
  }
  return result
}

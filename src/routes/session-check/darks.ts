// Which darks still match the temperature of the sensor.

import { temperatureMismatch } from '../../engine/index.ts'
import { citeDarkLaw, darkLawOf } from '../../setup/dark-law.ts'
import type { Notes } from '../../setup/notes.ts'
import type { Request } from './request.ts'
import type { FilterSolution } from './filter-solution.ts'
import type { State } from './state.ts'

export interface MatchingDarks {
  celsius: number
  matchingSubSeconds: number[]
  match: boolean
  /** False where only the set-point tells which darks there will be. */
  areGiven: boolean
}

/** What darks of another temperature leave on a hot pixel may add 5 % to the noise of one sub. Common practice, no source. */
const MOST_OF_NOISE = Math.sqrt(1.05 ** 2 - 1)

/** A hot pixel against an ordinary one, as in `/v1/calibration-plan`. Common practice, no source. */
const HOT_RATIO = 100

/** Darks that match now; null where temperature, dark current or darks are unknown. */
export function matchingDarks(
  request: Request,
  filter: FilterSolution | undefined,
  state: State,
  subSeconds: number,
  notes: Notes,
): MatchingDarks | null {
  const law = darkLawOf(request.camera)
  const { sensorCelsius: celsius } = state
  if (law === null || celsius === null || filter === undefined) return null
  const { setup } = filter
  const darks =
    request.darks ??
    (state.setPointCelsius === null
      ? []
      : (setup.plan.subLadderSeconds ?? []).map((seconds) => ({
          celsius: state.setPointCelsius ?? celsius,
          subSeconds: seconds,
        })))
  if (darks.length === 0) return null
  citeDarkLaw(law, notes)
  const { rates } = setup.scene.plane
  const fits = (darkCelsius: number) => {
    const { hot } = temperatureMismatch({
      law,
      lightCelsius: celsius,
      darkCelsius,
      hotPixelElectronsPerSecond: HOT_RATIO * state.darkElectronsPerSecond,
      targetElectronsPerPixelSecond: rates.targetElectronsPerPixelSecond,
      skyElectronsPerPixelSecond: rates.skyElectronsPerPixelSecond,
      readout: setup.mode.readout,
      subSeconds,
      subCount: 1,
      ditherPositions: 1,
    })
    return Math.abs(hot.overStackNoise) <= MOST_OF_NOISE
  }
  const near = new Set([...new Set(darks.map((dark) => dark.celsius))].filter(fits))
  const lengths = darks.filter((dark) => near.has(dark.celsius)).map((dark) => dark.subSeconds)
  const matchingSubSeconds = [...new Set(lengths)].sort((a, b) => a - b)
  return {
    celsius,
    matchingSubSeconds,
    match: matchingSubSeconds.includes(subSeconds),
    areGiven: request.darks !== undefined,
  }
}

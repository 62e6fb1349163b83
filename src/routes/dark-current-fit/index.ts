import {
  DarkCurrentFitAnswerSchema,
  darkCurrentFitExamples,
  DarkCurrentFitRequestSchema,
} from '../../contract/dark-current-fit.ts'
import { inquire } from '../../setup/inquiry.ts'
import type { Notes } from '../../setup/notes.ts'
import { cameraPart } from '../../setup/sendable.ts'
import { short, spokenCelsius } from '../../setup/words.ts'
import { question } from '../endpoint.ts'
import { givenUncertainties } from './given.ts'
import type { Request } from './request.ts'
import { quantities, solve, type Solution } from './solve.ts'

export const darkCurrentFit = question({
  id: 'darkCurrentFit',
  path: '/v1/dark-current/fit',
  tag: 'Detector',
  summary: 'What is my sensor’s doubling temperature?',
  description:
    'Fits dark currents at several temperatures, or mean levels of darks, and tells by how much warming your sensor’s dark current doubles, with standard uncertainties. Rates that do not belong are named, and a rate that does not fall with temperature (amplifier glow, a light leak) is recognised.',
  request: DarkCurrentFitRequestSchema,
  answer: DarkCurrentFitAnswerSchema,
  examples: darkCurrentFitExamples,
  handle: (request) => {
    // The uncertainties weigh the fit, so they go beside the plain numbers that an inquiry solves and varies.
    const given = givenUncertainties(request)
    return inquire(request, {
      solve: (plain, notes) => solve(plain, given, notes),
      quantities: (plain, base) => quantities(plain, given, base),
      encode,
    })
  },
})

function encode(solution: Solution, notes: Notes, request: Request) {
  const { fit, rates, leftOut, darkCurrent } = solution
  explain(solution, request, notes)
  return {
    doublingCelsius: fit.doublingCelsius,
    activationEnergyElectronVolts: fit.activationEnergyElectronVolts,
    electronsPerPixelSecond: fit.electronsPerPixelSecond,
    constantElectronsPerPixelSecond: fit.constantElectronsPerPixelSecond,
    referenceCelsius: fit.referenceCelsius,
    uncertaintyFrom: fit.uncertaintyFrom,
    coverageFactor68: fit.coverageFactor68,
    chiSquare: fit.chiSquare,
    degreesOfFreedom: fit.degreesOfFreedom,
    rates,
    outliers: rates.flatMap(({ isOutlier, pointers }) => (isOutlier ? pointers : [])),
    leftOut,
    camera: cameraPart({ darkCurrent }, notes),
  }
}

function explain({ fit, rates, leftOut }: Solution, request: Request, notes: Notes): void {
  const { doublingCelsius: doubling, activationEnergyElectronVolts: energy, referenceCelsius } = fit
  const give = (value: number, uncertainty: number | null) =>
    uncertainty === null ? short(value) : `${value.toPrecision(3)} ± ${short(uncertainty)}`
  notes.explain(
    `Around ${spokenCelsius(referenceCelsius)} your sensor’s dark current doubles every ${give(doubling.value, doubling.standardUncertainty)} °C of warming.`,
  )
  notes.explain(
    `Its activation energy is ${give(energy.value, energy.standardUncertainty)} eV; silicon has about 0.6 to 0.7 eV where impurities in the depleted layer decide and about 1.1 eV where the warm bulk does.`,
  )
  if (fit.constantElectronsPerPixelSecond !== null) {
    notes.explain(
      `A rate of ${short(fit.constantElectronsPerPixelSecond.value)} electrons per second on a pixel does not fall with temperature: amplifier glow or a light leak, which cooling will not cure.`,
    )
  }
  const outliers = rates.filter(({ isOutlier }) => isOutlier)
  for (const { pointers, celsius } of outliers.slice(0, 5)) {
    notes.explain(
      `The value at ${spokenCelsius(celsius)} (${pointers.join(', ')}) does not belong with the rest; look at it again.`,
    )
  }
  if (leftOut.length > 0) notes.explain('What took no part in the fit is listed in `leftOut`, with the reason.')
  if (fit.uncertaintyFrom === 'nothing') {
    notes.explain('Two rates determine the line and leave nothing to judge it by; a third would tell how sure it is.')
  }
  if (fit.uncertaintyFrom === 'scatter' && fit.coverageFactor68 !== null) {
    notes.explain(
      `The uncertainties are judged from the scatter of few rates: for a 68 % interval multiply them by ${short(fit.coverageFactor68)}.`,
    )
  }
  if (request.camera?.electronsPerAdu !== undefined && request.darks !== undefined) {
    notes.explain(
      'A wrong gain scales every rate alike: it moves the dark current, but neither the doubling step nor the energy.',
    )
  }
}

// A camera’s figures in sentences.

import type { MeasuredValue } from '../../engine/index.ts'
import type { Notes } from '../../setup/notes.ts'
import { short, spokenShare } from '../../setup/words.ts'
import type { Request } from './request.ts'
import type { ModeResult, Solution } from './solve.ts'

/** Beyond this the two fits of the gain are worth a look. */
const APART_SHARE = 0.02

/** Explains every mode, and how the figures are to be read. */
export function explain({ modes, first }: Solution, request: Request, notes: Notes): void {
  for (const mode of modes) explainMode(mode, modes.length > 1, notes)
  notes.explain(
    'Gain here is electrons per ADU, from a line through the origin; the K of EMVA 1288 is its inverse, ADU per electron.',
  )
  if (first.gain.uncertaintyFrom === 'nothing') {
    notes.explain('Give `pixelCount` with the levels, or more levels, to learn how sure these figures are.')
  }
  if (first.darkCurrent !== null && request.darksCelsius === undefined) {
    notes.explain('Give `darksCelsius` to have the dark current in `camera`.')
  }
  if (modes.length > 1) {
    notes.explain('Offset and dark current in `camera` are those of the first read mode.')
  }
}

function explainMode(mode: ModeResult, isOneOfMany: boolean, notes: Notes): void {
  const { electronsPerAdu, readNoiseWithQuantizationElectrons, saturation, gain } = mode
  const whose = isOneOfMany ? `In the mode “${mode.label}” one` : 'One'
  notes.explain(
    `${whose} ADU is ${spoken(electronsPerAdu)} electrons, and one read adds ${spoken(readNoiseWithQuantizationElectrons)} electrons of noise.`,
  )
  if (saturation === null) {
    notes.explain(
      'No level reaches saturation, so full well and dynamic range stay open; add brighter flats until they clip.',
    )
  } else {
    const how =
      saturation.method === 'clipped-share'
        ? 'the converter often clips first, so the pixel may hold more'
        : 'the fall of the noise above it tells, as closely as the levels lie'
    notes.explain(
      `It saturates at ${spoken(saturation.fullWellElectrons)} electrons, a dynamic range of ${spoken(saturation.dynamicRangeBits)} stops; ${how}.`,
    )
  }
  const { withIntercept, throughOrigin } = gain
  if (withIntercept !== null) {
    const apart = withIntercept.electronsPerAdu.value / throughOrigin.electronsPerAdu.value - 1
    if (Math.abs(apart) > APART_SHARE) {
      notes.explain(
        `A line with an intercept gives a gain ${spokenShare(Math.abs(apart))} ${apart > 0 ? 'higher' : 'lower'}: check that the light was steady and the response straight.`,
      )
    }
  }
  if (mode.readNoiseBelowElectrons !== null) {
    notes.explain(
      `Rounding to whole ADU hides the read noise, which lies below ${short(mode.readNoiseBelowElectrons)} electrons.`,
    )
  }
  explainPattern(mode, notes)
}

function explainPattern({ uniformity, linearity, darkCurrent }: ModeResult, notes: Notes): void {
  if (uniformity !== null) {
    const { darkNonUniformityElectrons: dark, photoResponseNonUniformityShare: light } = uniformity
    if (dark === null || light === null) {
      notes.explain(
        `${[dark === null ? 'DSNU' : '', light === null ? 'PRNU' : ''].filter((name) => name !== '').join(' and ')} cannot be told: a spatial variance comes out below zero, which means that noise hides the pattern, not that there is none.`,
      )
    }
    if (light !== null) notes.explain(`From pixel to pixel the response differs by ${spokenShare(light.value)} (PRNU).`)
  }
  if (linearity !== null) {
    notes.explain(`The response strays from a straight line by ${spokenShare(linearity.errorShare)} on average.`)
  }
  if (darkCurrent !== null) {
    notes.explain(`Dark current is ${spoken(darkCurrent.byMean)} electrons per second on a pixel, by the mean level.`)
  }
}

function spoken({ value, standardUncertainty }: MeasuredValue): string {
  if (standardUncertainty === null) return short(value)
  return `${String(Number(value.toPrecision(4)))} ± ${short(standardUncertainty)}`
}

import { DarkCurrentAnswerSchema, darkCurrentExamples, DarkCurrentRequestSchema } from '../../contract/dark-current.ts'
import type { SetPoint } from '../../engine/index.ts'
import { inquire } from '../../setup/inquiry.ts'
import type { Notes } from '../../setup/notes.ts'
import { short, spokenCelsius, spokenSeconds, spokenShare } from '../../setup/words.ts'
import { question } from '../endpoint.ts'
import { quantities, solve, type Solution } from './solve.ts'

export const darkCurrent = question({
  id: 'darkCurrent',
  path: '/v1/dark-current',
  tag: 'Detector',
  summary: 'What does temperature cost, and how cold is cold enough?',
  description:
    'A table of dark current over sensor temperature and length of sub, by the physical form and by a constant doubling step, with its share of the noise beside your sky. With a cooler and the air of the night it advises a set-point: the warmest temperature at which dark noise is small beside the sky’s, within what the cooler can hold, and out of those your dark library has. With humidity it tells the dew point.',
  request: DarkCurrentRequestSchema,
  answer: DarkCurrentAnswerSchema,
  examples: darkCurrentExamples,
  handle: (request) => inquire(request, { solve, quantities, encode }),
})

function encode(solution: Solution, notes: Notes) {
  const { table, law, setPoint, dewPoint, skyElectronsPerPixelSecond } = solution
  const beside = skyElectronsPerPixelSecond !== null
  const explanation = setPoint === null ? null : setPointSentence(setPoint, solution)
  explain(solution, explanation, notes)
  return {
    rows: table.rows.map(({ cells, ...row }) => ({
      celsius: row.celsius,
      electronsPerPixelSecond: row.electronsPerPixelSecond,
      darkToSkyNoise: row.darkToSkyNoise,
      depletionElectronsPerPixelSecond: row.depletionElectronsPerPixelSecond,
      doublingElectronsPerPixelSecond: row.doublingElectronsPerPixelSecond,
      localDoublingCelsius: row.localDoublingCelsius,
      stretchCelsius: row.stretchCelsius,
      noiseShare: beside ? (cells[0]?.noiseShare ?? null) : null,
      subs: cells.map(({ noiseShare, noiseExcessShare, ...cell }) => ({
        ...cell,
        noiseShare: beside ? noiseShare : null,
        noiseExcessShare: beside ? noiseExcessShare : null,
      })),
    })),
    setPoint: setPoint === null || explanation === null ? null : setPointAnswer(setPoint, explanation),
    dewPoint: dewPoint && {
      dewPointCelsius: dewPoint.dewPointCelsius,
      belowDewPointCelsius: dewPoint.belowDewPointCelsius,
      sensorCelsius: dewPoint.sensorCelsius,
      deposit: dewPoint.deposit,
      at: dewPoint.at,
    },
    form: law.doublingCelsius === undefined ? ('depletion' as const) : ('doubling' as const),
    doublingCelsius: table.doublingCelsius,
    referenceCelsius: law.reference.atCelsius,
    skyElectronsPerPixelSecond,
  }
}

function setPointAnswer(setPoint: SetPoint, explanation: string) {
  return {
    celsius: setPoint.celsius,
    coldestReachable: setPoint.coldestReachableCelsius,
    warmestColdEnoughCelsius: setPoint.warmestColdEnoughCelsius,
    warmestHeldCelsius: setPoint.warmestHeldCelsius,
    heldAllNight: setPoint.heldAllNight,
    isColdEnough: setPoint.isColdEnough,
    reason: setPoint.reason,
    library: setPoint.library,
    darkElectronsPerPixelSecond: setPoint.darkElectronsPerPixelSecond,
    darkToSkyNoise: setPoint.darkToSkyNoise,
    noiseSavedByColdestShare: setPoint.noiseSavedByColdestShare,
    explanation,
  }
}

function setPointSentence(setPoint: SetPoint, { darkShare }: Solution): string {
  const { celsius, reason, coldestReachableCelsius, darkToSkyNoise, noiseSavedByColdestShare } = setPoint
  const noise = `its dark noise is ${darkToSkyNoise < 2 ? `${spokenShare(darkToSkyNoise)} of the sky’s` : `${short(darkToSkyNoise)} times the sky’s`}`
  const allowed = `the ${spokenShare(darkShare)} allowed`
  const coldest = spokenCelsius(coldestReachableCelsius)
  switch (reason) {
    case 'cold-enough':
      return `Set ${spokenCelsius(celsius)}: ${noise}, within ${allowed}; the coldest the cooler holds, ${coldest}, would save only ${spokenShare(noiseSavedByColdestShare)} of the noise.`
    case 'cooling-not-needed':
      return `Set ${spokenCelsius(celsius)}: ${noise}, and even at the warmest air it stays within ${allowed}, so cooling buys next to nothing.`
    case 'cooler-limited':
      return `Set ${spokenCelsius(celsius)}: ${noise}, more than ${allowed}, but the cooler gets no colder than ${coldest} in the warmest hour.`
    case 'library-not-cold-enough':
      return `Set ${spokenCelsius(celsius)}, the coldest of your darks that can be held: ${noise}, more than ${allowed}; darks nearer to ${coldest} would allow less.`
  }
}

/** Beyond this both forms are worth comparing: a doubling step holds near its reference only. */
const FAR_CELSIUS = 15

function explain(solution: Solution, setPoint: string | null, notes: Notes): void {
  const { lacking, law, table, dewPoint, skyElectronsPerPixelSecond } = solution
  if (setPoint !== null) notes.explain(setPoint)
  else notes.explain(`No temperature to set is advised: that takes ${listed(lacking)}.`)
  if (solution.setPoint?.heldAllNight === false) {
    notes.explain(
      'The night cools so much that no one temperature can be held from end to end; set two, with darks for both.',
    )
  }
  if (solution.setPoint?.library === 'out-of-reach') {
    notes.explain('None of the temperatures of your darks can be held this night, so they were left aside.')
  }
  explainNoise(solution, notes)
  if (skyElectronsPerPixelSecond === null) notes.explain('Give a sky to learn what share of the noise is dark current.')
  explainForms(law, table, notes)
  if (dewPoint !== null) {
    const { deposit, sensorCelsius, dewPointCelsius, belowDewPointCelsius } = dewPoint
    notes.explain(`The dew point rises to ${spokenCelsius(dewPointCelsius)}.`)
    if (deposit !== 'none') {
      notes.caution(
        `At ${spokenCelsius(sensorCelsius)} the sensor stands ${short(belowDewPointCelsius)} °C below the dew point: ${deposit === 'ice' ? 'ice' : 'dew'} forms on it unless its chamber is dry and its window heated.`,
      )
    }
  }
}

function explainNoise({ table, skyElectronsPerPixelSecond }: Solution, notes: Notes): void {
  const { rows } = table
  const coldest = rows.reduce((a, b) => (b.celsius < a.celsius ? b : a))
  const warmest = rows.reduce((a, b) => (b.celsius > a.celsius ? b : a))
  const [cold, warm] = [coldest.cells[0], warmest.cells[0]]
  if (skyElectronsPerPixelSecond === null || cold === undefined || warm === undefined) return
  const there = `at ${spokenCelsius(warmest.celsius)} dark current is ${spokenShare(warm.noiseShare)} of the noise`
  const here = coldest === warmest ? '' : `, at ${spokenCelsius(coldest.celsius)} ${spokenShare(cold.noiseShare)}`
  notes.explain(`In a sub of ${spokenSeconds(warm.subSeconds)} ${there}${here}.`)
}

function explainForms(law: Solution['law'], table: Solution['table'], notes: Notes): void {
  const { atCelsius } = law.reference
  notes.explain(
    law.doublingCelsius === undefined
      ? `The rows follow the physical form for silicon, set by your value at ${spokenCelsius(atCelsius)}, where it doubles every ${short(table.doublingCelsius)} °C.`
      : `The rows follow your doubling step of ${short(law.doublingCelsius)} °C from ${spokenCelsius(atCelsius)}; the physical form for silicon stands beside it.`,
  )
  const farthest = table.rows.reduce((a, b) => (Math.abs(b.stretchCelsius) > Math.abs(a.stretchCelsius) ? b : a))
  if (Math.abs(farthest.stretchCelsius) < FAR_CELSIUS) return
  const { depletionElectronsPerPixelSecond: physical, doublingElectronsPerPixelSecond: doubling, celsius } = farthest
  if (physical <= 0 || doubling <= 0) return
  const apart = Math.max(physical / doubling, doubling / physical)
  notes.explain(
    `At ${spokenCelsius(celsius)}, ${short(Math.abs(farthest.stretchCelsius))} °C from where it was measured, the two forms differ by a factor of ${short(apart)}: measure there before you rely on it.`,
  )
}

function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1) ?? ''}`
}

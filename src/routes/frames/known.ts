// What is known of a frame beside its pixels: from the query, or else from the header.

import { BAYER_PATTERN_NAMES, type FrameParameters } from '../../contract/frames.ts'
import { isSameExposure } from '../../fits/index.ts'
import type { FrameAnalysis } from '../../frames/index.ts'
import type { Notes } from '../../setup/notes.ts'

export interface Known {
  subSeconds: number | null
  electronsPerAdu: number | null
  offsetAdu: number | null
  temperatureCelsius: number | null
}

/** What the contract takes for an exposure, a gain, a temperature; a header's number outside is no such thing. */
const EXPOSURE_SECONDS = { from: 0.001, to: 86_400 }
const GAIN_ELECTRONS_PER_ADU = { from: 0.001, to: 1000 }
const SENSOR_CELSIUS = { from: -150, to: 80 }

/** @throws {ProblemError} `no-answer` when the query contradicts the header */
export function knownOf(analysis: FrameAnalysis, parameters: FrameParameters, notes: Notes): Known {
  noteReading(analysis, parameters, notes)
  const known = {
    subSeconds: exposureOf(analysis, parameters, notes),
    electronsPerAdu: gainOf(analysis, parameters, notes),
    offsetAdu: parameters.offsetAdu ?? null,
    temperatureCelsius: within(analysis.hints.temperatureCelsius, SENSOR_CELSIUS),
  }
  notes.settle()
  return known
}

function exposureOf({ hints }: FrameAnalysis, { subSeconds: given }: FrameParameters, notes: Notes): number | null {
  const read = within(hints.exposureSeconds, EXPOSURE_SECONDS)
  if (read === null) {
    if (given === undefined && hints.exposureCards !== null) {
      notes.caution(
        `The header’s ${hints.exposureCards} is not usable as an exposure: give \`subSeconds\` in the query.`,
      )
    }
    return given ?? null
  }
  if (given !== undefined && !isSameExposure(given, read)) {
    notes.contradictory('/subSeconds', `${given} s, but the header says ${read} s; leave it out, or mend the header`)
  }
  return notes.assume('/subSeconds', read, 'the exposure in the header')
}

function gainOf({ hints }: FrameAnalysis, { electronsPerAdu }: FrameParameters, notes: Notes): number | null {
  if (electronsPerAdu !== undefined) return electronsPerAdu
  const read = within(hints.electronsPerAdu, GAIN_ELECTRONS_PER_ADU)
  return read === null ? null : notes.assume('/electronsPerAdu', read, '`EGAIN` in the header: nominal, not measured')
}

function within(value: number | null, { from, to }: { from: number; to: number }): number | null {
  return value !== null && value >= from && value <= to ? value : null
}

function noteReading(analysis: FrameAnalysis, { bayerPattern, saturationAdu }: FrameParameters, notes: Notes): void {
  if (bayerPattern === undefined && analysis.color === 'bayer') {
    notes.assume('/bayerPattern', analysis.bayerPattern, 'the pattern in the header')
  }
  if (bayerPattern === undefined && analysis.color === 'mono') noteMono(analysis, notes)
  if (saturationAdu === undefined && analysis.saturation.adu !== null) {
    const why = analysis.saturation.source === 'pile-up' ? 'pixels pile up there' : 'the largest code of the file'
    notes.assume('/saturationAdu', analysis.saturation.adu, why)
  }
}

function noteMono({ hints: { unknownPattern } }: FrameAnalysis, notes: Notes): void {
  if (unknownPattern === null) {
    notes.assume('/bayerPattern', null, 'neither the header nor you name a pattern: mono')
    return
  }
  notes.assume('/bayerPattern', null, `the header’s ${unknownPattern} is no pattern that is known here: mono`)
  notes.caution(unknownPatternCaution(unknownPattern))
}

/** @param unknownPattern  keyword and value */
export function unknownPatternCaution(unknownPattern: string): string {
  const known = BAYER_PATTERN_NAMES.join(', ')
  return `The header’s ${unknownPattern} is none of ${known}: all pixels were taken for one colour, which is wrong behind a colour filter; if it has one of these, give \`bayerPattern\`.`
}

// What arrived on the subs of a log, by the set-ups of its filters.

/* eslint-disable @typescript-eslint/no-non-null-assertion -- columns of one length are read at indices below it */

import type { AccountSubs } from '../../engine/index.ts'
import { citeDarkLaw, darkLawOf } from '../../setup/dark-law.ts'
import { lowestBackgroundAdu } from '../../setup/lowest-background.ts'
import type { Notes } from '../../setup/notes.ts'
import type { Scene } from '../../setup/scene.ts'
import type { Work } from '../../setup/work.ts'
import type { FiledLog } from './filing.ts'
import type { Request } from './filter-requests.ts'
import type { FilterSetup } from './filters.ts'
import type { BadLines } from './log/bad-lines.ts'
import type { FilterLog } from './measured.ts'
import { Meter, type AduScale } from './meter.ts'
import type { Remarks } from './remarks.ts'
import { measuredSubs } from './rows.ts'

const saysSomething = (column: Float64Array) => column.some((value) => !Number.isNaN(value))

/** The accepted subs of each filter in electrons, and the places of all that can be accounted. */
export function measure(
  request: Request,
  filed: FiledLog,
  setups: readonly FilterSetup[],
  { remarks, bad }: { remarks: Remarks; bad: BadLines },
  notes: Notes,
): Work<{ subs: AccountSubs[]; places: Uint32Array }> {
  const { backgroundAdu, sensorCelsius } = filed.columns
  const adu = aduScaleOf(request, setups[0]?.scene, saysSomething(backgroundAdu), notes)
  const darkLaw = darkLawOf(request.camera)
  if (darkLaw !== null && saysSomething(sensorCelsius)) citeDarkLaw(darkLaw, notes)
  return measuredSubs(filed, setups, new Meter({ adu, darkLaw }, filed.columns, remarks, bad))
}

function aduScaleOf({ camera }: Request, scene: Scene | undefined, isNeeded: boolean, notes: Notes): AduScale | null {
  if (!isNeeded || scene === undefined) return null
  const why = 'needed to turn the backgroundAdu of the log into electrons'
  const electronsPerAdu = camera.readModes?.[0]?.electronsPerAdu ?? scene.camera.electronsPerAdu
  const readings = {
    readNoiseElectrons: scene.camera.modes[0]?.readout.readNoiseElectrons ?? NaN,
    electronsPerAdu: electronsPerAdu ?? notes.missing('/camera/electronsPerAdu', why),
    offsetAdu: scene.camera.offsetAdu ?? notes.missing('/camera/offsetAdu', why),
  }
  notes.settle()
  return { ...readings, lowestAdu: lowestBackgroundAdu(readings) }
}

/** The lengths of a filter's subs; usual is the middle one of the accepted subs, or of all where none is. */
export function filterLogOf({ order, filterOf, columns }: FiledLog, filter: number): FilterLog {
  const lengths = new Set<number>()
  const all = new Float64Array(order.length)
  const accepted = new Float64Array(order.length)
  let count = 0
  let acceptedCount = 0
  for (const place of order) {
    if (filterOf[place] !== filter) continue
    const seconds = columns.subSeconds[place]!
    lengths.add(seconds)
    all[count++] = seconds
    if (columns.isAccepted[place] === 1) accepted[acceptedCount++] = seconds
  }
  const usual = (acceptedCount > 0 ? accepted.subarray(0, acceptedCount) : all.subarray(0, count)).sort()
  return { lengths, acceptedCount, usualSeconds: usual[usual.length >> 1] ?? null }
}

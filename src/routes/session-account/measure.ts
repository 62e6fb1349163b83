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
  const lengths = new Map<number, number>()
  const accepted = new Map<number, number>()
  let acceptedCount = 0
  for (const place of order) {
    if (filterOf[place] !== filter) continue
    const seconds = columns.subSeconds[place]!
    count(lengths, seconds)
    if (columns.isAccepted[place] !== 1) continue
    count(accepted, seconds)
    acceptedCount++
  }
  return { lengths, acceptedCount, usualSeconds: middleOf(acceptedCount > 0 ? accepted : lengths) }
}

function count(counts: Map<number, number>, value: number): void {
  counts.set(value, (counts.get(value) ?? 0) + 1)
}

/** The value in the middle of all that were counted; null of none. */
function middleOf(counts: ReadonlyMap<number, number>): number | null {
  const inOrder = [...counts].sort(([one], [other]) => one - other)
  let after = inOrder.reduce((sum, [, count]) => sum + count, 0) >> 1
  for (const [value, count] of inOrder) {
    if (after < count) return value
    after -= count
  }
  return null
}

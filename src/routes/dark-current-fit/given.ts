// The standard uncertainties of a request, item by item.

import type { z } from 'zod'
import type { DarkCurrentFitRequestSchema } from '../../contract/dark-current-fit.ts'

type Measured = number | { value: number; standardUncertainty: number } | undefined

export interface GivenUncertainties {
  rates: (number | null)[]
  darks: (number | null)[]
  electronsPerAdu: number
}

/** Null where an item came without. */
export function givenUncertainties(request: z.output<typeof DarkCurrentFitRequestSchema>): GivenUncertainties {
  const { rates = [], darks = [], camera } = request
  return {
    rates: rates.map(({ electronsPerPixelSecond }) => uncertaintyOf(electronsPerPixelSecond)),
    darks: darks.map(({ meanElectrons, meanAdu }) => uncertaintyOf(meanElectrons ?? meanAdu)),
    electronsPerAdu: uncertaintyOf(camera?.electronsPerAdu) ?? 0,
  }
}

function uncertaintyOf(measured: Measured): number | null {
  return typeof measured === 'object' ? measured.standardUncertainty : null
}

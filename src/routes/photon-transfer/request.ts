import type { z } from 'zod'
import type { Plain } from '../../contract/fields.ts'
import type { PhotonTransferRequestSchema } from '../../contract/photon-transfer.ts'

export type Request = Plain<z.infer<typeof PhotonTransferRequestSchema>>

export interface Ladder {
  label: string
  levels: NonNullable<Request['levels']>
  darks: Request['darks']
  /** JSON Pointer to what holds `levels` and `darks`. */
  pointer: string
}

/** A request made of frames. */
export interface MeasuredLadder {
  request: Request & { levels: Ladder['levels'] }
  /** To the parts that the levels and the darks are from, in their order. */
  levelPointers: string[]
  darkPointers: string[]
  /** How much the light changed within pairs, where it matters: each with the first frame. */
  drifts: string[]
}

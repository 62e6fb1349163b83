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

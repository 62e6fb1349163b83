// What is on this frame: from the bytes of a FITS body to its measurements.

import { FitsError, readFitsBody } from '../fits/index.ts'
import type { BayerPattern, BitsPerSample, CameraHints } from '../fits/index.ts'
import { Arrival } from './arrival.ts'
import type { EmptyChannel, PictureMeasurements } from './measurements.ts'
import { joinOutstanding } from './outstanding.ts'
import type { Outstanding } from './outstanding.ts'
import { layOut } from './picture.ts'
import type { PictureLayout } from './picture.ts'
import type { FramePool, FrameSlot } from './pool.ts'
import { decoded, limitsOf, patternOf } from './reading.ts'
import type { ReadingOptions } from './reading.ts'

export interface FrameOptions extends ReadingOptions {
  pool: FramePool
  /** Level from which a pixel counts as clipped. */
  saturationAdu?: number | undefined
}

/** What the header says of the frame. */
export interface FrameFacts {
  widthPx: number
  heightPx: number
  bitsPerSample: BitsPerSample
  color: 'mono' | 'bayer' | 'planes'
  bayerPattern: BayerPattern | null
  hints: CameraHints
  bytesRead: number
}

export type FrameAnalysis = FrameFacts & PictureMeasurements

/**
 * Measures a frame as it comes in. Nothing is kept: one copy of the picture in memory while it lasts, none on disk.
 *
 * Room in the pool is looked for before the first byte is read, so that a full one costs the sender nothing, and taken once
 * the header is there. The body is read to its end, or left where it was refused.
 *
 * @param body  a FITS file, in chunks of any length
 * @returns plain data; every number is finite
 * @throws {FramePoolFull} when every place is taken
 * @throws {FitsError} for a body that cannot be measured
 * @throws the signal's reason, or what the body itself throws
 */
export async function analyzeFrame(body: AsyncIterable<Uint8Array>, options: FrameOptions): Promise<FrameAnalysis> {
  const slot = options.pool.reserve()
  const strips: Promise<Outstanding>[] = []
  try {
    const { arrival, layout, bytesRead } = await receive(body, options, slot, strips)
    const outstanding = joinOutstanding(await Promise.all(strips))
    const { saturationAdu, signal } = options
    signal?.throwIfAborted()
    const answer = await slot.run({ kind: 'finish', picture: arrival.picture, outstanding, saturationAdu })
    return { ...factsOf(layout, bytesRead), ...requireMeasured(answer) }
  } finally {
    // Workers may still be at strips of a body that was refused; the place is free when they are done.
    await Promise.allSettled(strips)
    slot.release()
  }
}

async function receive(
  body: AsyncIterable<Uint8Array>,
  options: FrameOptions,
  slot: FrameSlot,
  strips: Promise<Outstanding>[],
): Promise<{ arrival: Arrival; layout: PictureLayout; bytesRead: number }> {
  let opened: { arrival: Arrival; layout: PictureLayout } | undefined
  const { bytesRead } = await readFitsBody(decoded(body, options), limitsOf(options), (image) => {
    const layout = layOut(image, patternOf(image, options.bayerPattern))
    const arrival = new Arrival(layout, slot.memory, (picture, strip) => {
      const measured = slot.run({ kind: 'strip', picture, strip })
      // Looked at when all has come; until then a failure must not count as unhandled.
      measured.catch(() => undefined)
      strips.push(measured)
    })
    opened = { arrival, layout }
    return arrival
  })
  if (!opened) throw new Error('readFitsBody returned without opening a picture.')
  return { ...opened, bytesRead }
}

export function factsOf({ image, bayerPattern }: PictureLayout, bytesRead: number): FrameFacts {
  const { widthPx, heightPx, bitsPerSample, hints, planeCount } = image
  const color = planeCount === 3 ? 'planes' : bayerPattern ? 'bayer' : 'mono'
  return { widthPx, heightPx, bitsPerSample, color, bayerPattern, hints, bytesRead }
}

/** @throws {FitsError} `no-valid-pixels` */
export function requireMeasured<T extends object>(answer: T | EmptyChannel): T {
  if (!('emptyChannel' in answer)) return answer
  const { emptyChannel } = answer
  throw new FitsError('no-valid-pixels', `Every pixel of the ${emptyChannel} channel is blank, NaN or infinite.`, {
    given: emptyChannel,
    allowed: 'at least one valid pixel in every channel',
  })
}

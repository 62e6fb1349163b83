// Frames become pairs as they come in: two of one kind and one exposure, one right after the other. Memory holds the
// middles of two frames, never more.

import type { PhotonTransferFields } from '../../contract/photon-transfer-form.ts'
import { FitsError, isSameExposure } from '../../fits/index.ts'
import { readRegion, type FrameSlot, type PairStatistics, type RegionFrame } from '../../frames/index.ts'
import type { FormPart } from '../endpoint.ts'
import { fitsProblem } from '../frames/problem.ts'
import { differences, noAnswer, requireNoExposure, requireOneLevel } from './pair-checks.ts'

export const FRAME_KINDS = ['flat', 'bias', 'dark'] as const

export type FrameKind = (typeof FRAME_KINDS)[number]
export type FilePart = Extract<FormPart, { kind: 'file' }> & { name: FrameKind }

export interface Pair {
  kind: FrameKind
  /** Null for bias frames, and for flats of unknown exposure. */
  exposureSeconds: number | null
  temperatureCelsius: number | null
  /** To the first frame of the pair, as a part of the form. */
  pointer: string
  /** The first frame in words, counted from one. */
  label: string
  statistics: PairStatistics
}

interface Held extends Omit<Pair, 'statistics'> {
  frame: RegionFrame
}

const LONGEST_LABEL = 60

export class Pairing {
  readonly pairs: Pair[] = []
  /** Frames without a partner, in words. */
  readonly leftOut: string[] = []
  /** The first frame, which all others must be like. */
  model: RegionFrame | undefined
  private readonly slot: FrameSlot
  private readonly signal: AbortSignal
  private readonly buffers: SharedArrayBuffer[] = []
  private readonly counts = { flat: 0, bias: 0, dark: 0 }
  private held: Held | undefined

  constructor(slot: FrameSlot, signal: AbortSignal) {
    this.slot = slot
    this.signal = signal
  }

  /** Reads a frame; with the one before it, if they belong together, it is measured. */
  async take(part: FilePart, fields: PhotonTransferFields): Promise<void> {
    const next = await this.read(part, fields)
    this.requireAlike(next)
    const { held } = this
    if (!held || !isPair(held, next)) {
      this.leaveOutHeld()
      this.held = next
      return
    }
    this.held = undefined
    const { frame: first, ...told } = held
    const pair = { first, second: next.frame, saturationAdu: fields.saturationAdu }
    const statistics = await this.slot.run({ kind: 'pair', pair })
    if (statistics.pixelCount < 2)
      throw noAnswer(told.pointer, 'hardly a pixel of this pair has a value in both frames')
    if (told.kind === 'flat') requireOneLevel(statistics, told.pointer)
    this.pairs.push({ ...told, statistics })
  }

  /** To be called after the last frame. */
  end(): void {
    this.leaveOutHeld()
  }

  private leaveOutHeld(): void {
    if (this.held) this.leftOut.push(this.held.label)
    this.held = undefined
  }

  private async read(part: FilePart, fields: PhotonTransferFields): Promise<Held> {
    const { name: kind, filename, body } = part
    const pointer = `/${kind}/${this.counts[kind]++}`
    const frame = await this.regionOf(body, fields, pointer)
    const { exposureSeconds, temperatureCelsius } = frame.image.hints
    const exposure = exposureSeconds ?? fields.exposureSeconds ?? null
    if (kind !== 'bias' && exposure === null) requireNoExposure(kind, frame, pointer)
    const label = `${kind} ${this.counts[kind]}${filename === '' ? '' : ` “${printable(filename)}”`}`
    return { kind, exposureSeconds: kind === 'bias' ? null : exposure, temperatureCelsius, pointer, frame, label }
  }

  private async regionOf(
    body: AsyncIterable<Uint8Array>,
    fields: PhotonTransferFields,
    pointer: string,
  ): Promise<RegionFrame> {
    try {
      const { bayerPattern } = fields
      const frame = await readRegion(body, { bayerPattern, signal: this.signal }, (bytes) => this.room(bytes))
      if (frame) return frame
    } catch (error) {
      throw error instanceof FitsError ? fitsProblem(error, pointer) : error
    }
    throw noAnswer(pointer, 'three colour planes: their noise is no longer the camera’s; send raw frames')
  }

  /** Memory beside that of the frame that waits for its partner. */
  private room(byteLength: number): SharedArrayBuffer {
    const free = this.buffers.find((buffer) => buffer !== this.held?.frame.samples && buffer.byteLength >= byteLength)
    if (free) return free
    const buffer = this.slot.memory(byteLength)
    this.buffers.push(buffer)
    return buffer
  }

  private requireAlike({ frame, pointer }: Held): void {
    this.model ??= frame
    const differing = differences(this.model, frame)
    if (differing !== '') throw noAnswer(pointer, `not like the first frame: ${differing}`)
  }
}

function isPair(one: Held, other: Held): boolean {
  if (one.kind !== other.kind) return false
  const [first, second] = [one.exposureSeconds, other.exposureSeconds]
  if (first === null || second === null) return first === second
  return isSameExposure(first, second)
}

/** A name as sent, fit to be shown. */
function printable(name: string): string {
  const plain = name.replace(/[^\p{L}\p{N}\p{P}\p{S} ]/gu, '')
  return plain.length > LONGEST_LABEL ? `${plain.slice(0, LONGEST_LABEL)}…` : plain
}

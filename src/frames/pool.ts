// The workers that look at pictures, and how many pictures may be there at once. Memory is bounded by what their pictures
// may take together, work by the number of frames that are let in, because each frame's is.

import { availableParallelism } from 'node:os'

import type { Piscina } from 'piscina'

import { BufferStore } from './buffer-store.ts'
import type { PictureAnswers, PictureTask } from './tasks.ts'

export interface FramePoolOptions {
  /** Workers; one less than the machine has processors, as the event loop needs one. */
  threads?: number
  /** Frames that are let in beyond one per worker; they arrive meanwhile and wait for their turn. */
  waitingFrames?: number
  /** Bytes that the pictures may take together. */
  maximumBytes?: number
}

/** Every place for a frame is taken: come back later. */
export class FramePoolFull extends Error {
  override readonly name = 'FramePoolFull'
}

/** A place for one frame: taken once there is something to put there, to be released when it is done. */
export interface FrameSlot {
  run<Kind extends PictureTask['kind']>(task: Extract<PictureTask, { kind: Kind }>): Promise<PictureAnswers[Kind]>
  /**
   * Memory for the frame's picture, which goes back with the place.
   *
   * @throws {FramePoolFull} when every place has been taken meanwhile, or while other pictures take the memory
   */
  memory: (byteLength: number) => SharedArrayBuffer
  release: () => void
}

const DEFAULT_WAITING_FRAMES = 2
/** Twice what the largest frame comes to, one of bytes, which are widened. */
const DEFAULT_MAXIMUM_PICTURE_BYTES = 512 * 2 ** 20
/** Workers without work end after this time, and with them their hold on memory. */
const IDLE_MILLISECONDS = 600_000
/** Room for a worker's short-lived objects, of which it makes few; by default it would hold on to several times as much. */
const YOUNG_MEGABYTES = 4

export class FramePool {
  /** Frames that can be let in at once. */
  readonly capacity: number
  private readonly threads: number
  private readonly memory: BufferStore
  private workers: Promise<Piscina> | undefined
  private taken = 0

  constructor(options: FramePoolOptions = {}) {
    this.threads = options.threads ?? Math.max(1, availableParallelism() - 1)
    this.capacity = this.threads + (options.waitingFrames ?? DEFAULT_WAITING_FRAMES)
    this.memory = new BufferStore(this.capacity, options.maximumBytes ?? DEFAULT_MAXIMUM_PICTURE_BYTES)
  }

  /** Frames that are in now. */
  get frameCount(): number {
    return this.taken
  }

  /**
   * Promises a place, which is taken with the first memory: a sender who stalls before a header is there holds none.
   *
   * @throws {FramePoolFull}
   */
  reserve(): FrameSlot {
    this.requireRoom()
    const buffers: SharedArrayBuffer[] = []
    let isHeld = false
    return {
      run: async (task) => {
        this.workers ??= startWorkers(this.threads)
        return (await this.workers).run(task) as Promise<never>
      },
      memory: (byteLength) => {
        if (!isHeld) {
          this.requireRoom()
          this.taken++
          isHeld = true
        }
        const buffer = this.memory.take(byteLength)
        if (!buffer) throw new FramePoolFull('There is no room for a frame of this size beside those that are here.')
        buffers.push(buffer)
        return buffer
      },
      release: () => {
        if (!isHeld) return
        isHeld = false
        this.taken--
        for (const buffer of buffers) this.memory.give(buffer)
      },
    }
  }

  private requireRoom(): void {
    if (this.taken < this.capacity) return
    throw new FramePoolFull(`There is no room for another frame: ${this.capacity} at once are the most.`)
  }

  /** Ends the workers; what they are at is dropped. */
  async close(): Promise<void> {
    this.memory.clear()
    const workers = await this.workers
    await workers?.destroy()
  }
}

/** A service that is never sent a frame pays for no worker, nor for loading what runs them. */
async function startWorkers(maxThreads: number): Promise<Piscina> {
  const { Piscina } = await import('piscina')
  const workers = new Piscina({
    // Compiled sources lie side by side, so the worker is found in every build.
    filename: new URL('./worker.js', import.meta.url).href,
    minThreads: 0,
    maxThreads,
    idleTimeout: IDLE_MILLISECONDS,
    resourceLimits: { maxYoungGenerationSizeMb: YOUNG_MEGABYTES },
  })
  // A worker that dies is replaced, and the task it was at is told by its rejection: nothing is left to do here.
  workers.on('error', () => undefined)
  return workers
}

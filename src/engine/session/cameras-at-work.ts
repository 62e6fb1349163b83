// Which camera took which sub, of a log that does not say: one camera exposes one sub at a time.

/** Starts are often written to the whole second; subs that touch within this do not overlap. */
export const TOUCH_SECONDS = 1.5

/** Common practice, no source: a quarter of an hour. */
const LONGEST_WAIT_SECONDS = 900

interface Camera {
  /** Its last sub, and when that ended. */
  last: number
  end: number
  filter: number
}

interface TimedSub {
  index: number
  start: number
  stop: number
  filter: number
}

/** More at a time than anyone has; what overlaps beyond that is put with the one that ends first. */
const MOST_CAMERAS = 32

/** Hands subs that come in the order of time to cameras. */
export class CamerasAtWork {
  #cameras: Camera[] = []

  /** The night is over: whatever comes next followed on nothing. */
  leave(): void {
    this.#cameras = []
  }

  /**
   * Hands on one sub.
   *
   * @returns the sub before it on its camera, and how long the camera was idle in between: nothing where it only joins in
   *   while another one exposes, which may have been switched on then
   */
  take({ index, start, stop, filter }: TimedSub): { before: number | null; idleSeconds: number } {
    const camera = this.#freeAt(start, filter)
    if (camera === null) {
      this.#cameras.push({ last: index, end: stop, filter })
      return { before: null, idleSeconds: 0 }
    }
    const { last, end } = camera
    const idleSeconds = this.#isJoining(camera, start) ? 0 : Math.max(0, start - end)
    Object.assign(camera, { last: index, end: Math.max(end, stop), filter })
    return { before: last, idleSeconds }
  }

  /** A camera that waits with its filter, or else the one that ended last before a start; null where each is busy. */
  #freeAt(start: number, filter: number): Camera | null {
    const likes = (camera: Camera) => camera.filter === filter && start - camera.end <= LONGEST_WAIT_SECONDS
    let free: Camera | null = null
    for (const camera of this.#cameras) {
      if (camera.end > start + TOUCH_SECONDS) continue
      const isBetter = free === null || (likes(camera) === likes(free) ? camera.end > free.end : likes(camera))
      if (isBetter) free = camera
    }
    if (free !== null || this.#cameras.length < MOST_CAMERAS) return free
    return this.#cameras.reduce((first, camera) => (camera.end < first.end ? camera : first))
  }

  /** Whether a camera that was idle for long only joins in while another one exposes. */
  #isJoining(camera: Camera, start: number): boolean {
    return start - camera.end > LONGEST_WAIT_SECONDS && this.#cameras.some(({ end }) => end > start)
  }
}

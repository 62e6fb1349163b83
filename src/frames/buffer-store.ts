// Memory for pictures, kept for the next one. Shared memory is only freed when every worker has collected it, which can
// take many frames; reusing it bounds what they take together, and spares the machine handing out fresh pages.

/** Memory that nobody has asked for is let go after this time. */
const IDLE_MILLISECONDS = 600_000
/** Sizes are rounded up to this, so that frames of one camera fit each other's memory. */
const GRAIN_BYTES = 1 << 20

export class BufferStore {
  private readonly capacity: number
  private readonly maximumBytes: number
  private takenBytes = 0
  private idle: SharedArrayBuffer[] = []
  private timer: NodeJS.Timeout | undefined

  /**
   * @param capacity  buffers that are kept at most
   * @param maximumBytes  of all that are taken and kept, together
   */
  constructor(capacity: number, maximumBytes: number) {
    this.capacity = capacity
    this.maximumBytes = maximumBytes
  }

  /** Memory of at least this size, where there is room for it; what it holds is left over from before. */
  take(byteLength: number): SharedArrayBuffer | undefined {
    const buffer = this.kept(byteLength) ?? this.fresh(byteLength)
    this.takenBytes += buffer?.byteLength ?? 0
    return buffer
  }

  give(buffer: SharedArrayBuffer): void {
    this.takenBytes -= buffer.byteLength
    this.idle = [...this.idle, buffer].sort((one, other) => one.byteLength - other.byteLength).slice(-this.capacity)
    clearTimeout(this.timer)
    this.timer = setTimeout(() => {
      this.clear()
    }, IDLE_MILLISECONDS).unref()
  }

  private kept(byteLength: number): SharedArrayBuffer | undefined {
    const place = this.idle.findIndex((buffer) => buffer.byteLength >= byteLength)
    return place < 0 ? undefined : this.idle.splice(place, 1)[0]
  }

  /** None that is kept is large enough: the smallest make room, and there are never more buffers than frames. */
  private fresh(byteLength: number): SharedArrayBuffer | undefined {
    const bytes = Math.max(1, Math.ceil(byteLength / GRAIN_BYTES)) * GRAIN_BYTES
    if (this.takenBytes + bytes > this.maximumBytes) return undefined
    this.idle.shift()
    while (this.takenBytes + this.idleBytes() + bytes > this.maximumBytes) this.idle.shift()
    return new SharedArrayBuffer(bytes)
  }

  private idleBytes(): number {
    return this.idle.reduce((sum, { byteLength }) => sum + byteLength, 0)
  }

  clear(): void {
    clearTimeout(this.timer)
    this.idle = []
  }
}

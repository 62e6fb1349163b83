/**
 * Seeded draws for tens of millions of pixels: generator sfc32 (Doty-Humphrey, PractRand), normal deviates by the polar
 * method (Marsaglia & Bray 1964, SIAM Review 6, 260). A class, since its methods are compiled into the loops that call
 * them, however many generators there are; that halves the time of a frame.
 */
export class Draws {
  private readonly state: Int32Array
  private spare = 0
  private hasSpare = false

  constructor(seed: number) {
    this.state = Int32Array.of(seed, 0x9e3779b9, 0x243f6a88, 1)
    for (let i = 0; i < 20; i++) this.uniform()
  }

  /** Between 0 and 1, both excluded. */
  uniform(): number {
    const { state } = this
    const a = state[0] ?? 0
    const b = state[1] ?? 0
    const c = state[2] ?? 0
    const counter = state[3] ?? 0
    const sum = (a + b + counter) | 0
    state[0] = b ^ (b >>> 9)
    state[1] = (c + (c << 3)) | 0
    state[2] = (((c << 21) | (c >>> 11)) + sum) | 0
    state[3] = (counter + 1) | 0
    return ((sum >>> 0) + 0.5) / 4294967296
  }

  /** Mean 0, standard deviation 1. */
  normal(): number {
    if (this.hasSpare) {
      this.hasSpare = false
      return this.spare
    }
    for (;;) {
      const x = 2 * this.uniform() - 1
      const y = 2 * this.uniform() - 1
      const square = x * x + y * y
      if (square >= 1) continue
      const scale = Math.sqrt((-2 * Math.log(square)) / square)
      this.spare = y * scale
      this.hasSpare = true
      return x * scale
    }
  }
}

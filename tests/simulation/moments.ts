/** Mean and scatter of a stream of numbers (Welford 1962, Technometrics 4, 419). */
export class Moments {
  count = 0
  mean = 0
  private squares = 0

  add(value: number): void {
    this.count++
    const off = value - this.mean
    this.mean += off / this.count
    this.squares += off * (value - this.mean)
  }

  get variance(): number {
    return this.squares / (this.count - 1)
  }

  get deviation(): number {
    return Math.sqrt(this.variance)
  }
}

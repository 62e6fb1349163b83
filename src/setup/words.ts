// Numbers as people say them.

/** A length of time: “0.5 s”, “90 s”, “4 min”, “2.5 h”. */
export function spokenSeconds(seconds: number): string {
  if (seconds < 100) return `${short(seconds)} s`
  if (seconds < 7200) return `${short(seconds / 60)} min`
  return `${short(seconds / 3600)} h`
}

/** A share: “4.8 %”. */
export function spokenShare(share: number): string {
  return `${short(share * 100)} %`
}

/** Two significant digits, or whole from a hundred on, without trailing zeros. */
export function short(value: number): string {
  if (value >= 1 && value < 100) {
    // The usual case, by arithmetic: formatting twice is a tenth of a whole answer's time.
    const rounded = value < 9.95 ? Math.round(value * 10) / 10 : Math.round(value)
    return String(rounded)
  }
  return String(Number(value >= 100 && value < 1e6 ? value.toFixed(0) : value.toPrecision(2)))
}

/** A temperature: “−10 °C”, “4.5 °C”. */
export function spokenCelsius(celsius: number): string {
  return `${Number(celsius.toFixed(1)).toString().replace('-', '−')} °C`
}

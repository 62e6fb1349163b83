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
  if (value < 0) return `-${short(-value)}`
  // The usual cases by arithmetic: formatting twice is a tenth of a whole answer's time.
  if (value >= 9.95 && value < 1e6) return String(Math.round(value))
  if (value >= 0.995 && value < 9.95) return String(Math.round(value * 10) / 10)
  if (value >= 0.0995 && value < 0.995) return String(Math.round(value * 100) / 100)
  return String(Number(value.toPrecision(2)))
}

/** A temperature: “−10 °C”, “4.5 °C”. */
export function spokenCelsius(celsius: number): string {
  return `${Number(celsius.toFixed(1)).toString().replace('-', '−')} °C`
}

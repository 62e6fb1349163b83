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
  return String(Number(value >= 100 && value < 1e6 ? value.toFixed(0) : value.toPrecision(2)))
}

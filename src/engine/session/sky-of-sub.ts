// The sky behind one sub, and what is marked on it.

/** How well the dark current at another temperature is known. Common practice, no source. */
export const DARK_LAW_SHARE = 0.3

export interface SkyOfSub {
  /** Place of the sub in the order of time. */
  at: number
  /** Electrons per second, dark current taken off. */
  skyElectronsPerSecond: number
  deviation: number
  /** Against the darkest level of its filter, or against its noise where that is more. */
  ratio: number
  /** A light passed: it stands out from its neighbours. */
  spike: boolean
  /** The same, and only the last sub of its filter made it certain. */
  late: boolean
}

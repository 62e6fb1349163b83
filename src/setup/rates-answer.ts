// The electrons an answer was reckoned from, in the contract's terms.

import type { Scene } from './scene.ts'

export function ratesAnswer({ plane, planes, pixelScaleArcsec }: Scene) {
  return {
    channel: plane.channel,
    channels: planes.map(({ channel, samplingFraction, rates, starElectronsPerSecond }) => ({
      channel,
      samplingFraction,
      rates,
      starElectronsPerSecond,
    })),
    pixelScaleArcsec,
  }
}

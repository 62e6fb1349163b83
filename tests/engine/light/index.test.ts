import t from 'tap'
import * as light from '../../../src/engine/light/index.ts'

void t.test('the door of the folder leads to what the callers need', (t) => {
  for (const name of [
    'channelsOf',
    'collectingAreaM2',
    'lineElectrons',
    'moonlessMagnitudeOf',
    'pixelScaleArcsec',
    'skyElectrons',
    'skyMagnitudes',
    'starElectrons',
    'surfaceElectrons',
  ] as const) {
    t.type(light[name], 'function', name)
  }
  t.end()
})

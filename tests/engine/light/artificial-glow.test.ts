import t from 'tap'
import { cityGlowRelativeToNatural } from '../../../src/engine/light/artificial-glow.ts'
import { addMagnitudes, magnitudeOfRelativeFlux } from '../../../src/engine/light/magnitudes.ts'
import { near, refuses, within } from '../../support/near.ts'

void t.test("S-MO-13 doubling the distance (Walker 1977's law)", (t) => {
  const ratio =
    cityGlowRelativeToNatural({ population: 1e5, distanceKm: 25 }) /
    cityGlowRelativeToNatural({ population: 1e5, distanceKm: 50 })
  near(t, ratio, 5.6569, 1e-4, 'factor')
  within(t, -magnitudeOfRelativeFlux(ratio), 1.8814, 1e-4, 'mag')
  t.end()
})

void t.test('S-MO-14 a million people 100 km away (Walker 1977, constant from memory)', (t) => {
  const glow = cityGlowRelativeToNatural({ population: 1e6, distanceKm: 100 })
  near(t, glow, 0.1, 1e-9, 'relative to the natural sky')
  within(t, addMagnitudes([0, magnitudeOfRelativeFlux(glow)]), -0.1035, 1e-4, 'total, mag')
  t.end()
})

void t.test('a place without people, or next door, is refused', (t) => {
  refuses(t, () => cityGlowRelativeToNatural({ population: 0, distanceKm: 10 }), 'out-of-range', 'population')
  refuses(t, () => cityGlowRelativeToNatural({ population: 1e5, distanceKm: 0 }), 'out-of-range', 'distance')
  t.end()
})

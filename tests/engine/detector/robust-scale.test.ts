import t from 'tap'
import { madEfficiency, standardDeviationFromMad } from '../../../src/engine/detector/robust-scale.ts'
import { near, refuses } from '../../support/near.ts'

void t.test('D-EST-16 MAD scale 1.482602 and efficiency 0.36752 (Huber 1981; astropy and scipy documentation)', (t) => {
  near(t, standardDeviationFromMad(1), 1.482602, 4e-7, 'scale')
  near(t, standardDeviationFromMad(10), 10 * standardDeviationFromMad(1), 1e-15, 'proportional')
  near(t, madEfficiency(), 0.36752, 2e-5, 'efficiency against the standard deviation')
  refuses(t, () => standardDeviationFromMad(-1), 'out-of-range', 'negative')
  t.end()
})

import t from 'tap'
import { BAYER_DYES, BAYER_SAMPLING_FRACTIONS } from '../../../src/engine/light/bayer.ts'
import type { NumberOrCurve } from '../../../src/engine/light/curve.ts'
import { curveSegments, segmentsAt } from '../../../src/engine/light/curve.ts'
import { blockerTransmission } from '../../../src/engine/light/infrared-blocker.ts'
import { refuses, within } from '../../support/near.ts'

const at = (curve: NumberOrCurve, wavelengthNm: number): number =>
  typeof curve === 'number' ? curve : segmentsAt(curveSegments(curve), wavelengthNm)

void t.test('a photographic blocker passes a quarter of H-alpha (common practice: 0.2 to 0.3)', (t) => {
  const blocker = blockerTransmission('photographic')
  within(t, at(blocker, 656.28), 0.25, 0.05, 'H-alpha')
  within(t, at(blocker, 500), 0.95, 1e-12, 'green')
  t.equal(at(blocker, 720), 0, 'the infrared')
  t.equal(at(blocker, 900), 0, 'and beyond the table')
  t.end()
})

void t.test('no blocker takes nothing away, a measured one is taken as given', (t) => {
  t.equal(blockerTransmission('none'), 1)
  const table = [
    { wavelengthNm: 400, value: 1 },
    { wavelengthNm: 700, value: 0 },
  ]
  t.equal(blockerTransmission(table), table)
  refuses(t, () => blockerTransmission([{ wavelengthNm: 400, value: 2 }]), 'not-enough-data', 'one point')
  refuses(t, () => blockerTransmission(table.map((p) => ({ ...p, value: 2 }))), 'out-of-range', 'more than all')
  t.end()
})

void t.test('a Bayer cell is one red, two green and one blue pixel', (t) => {
  t.same(BAYER_SAMPLING_FRACTIONS, { red: 0.25, green: 0.5, blue: 0.25 })
  t.end()
})

void t.test('each line of a nebula has its colour, with a few per cent of leakage (common practice)', (t) => {
  const { red, green, blue } = BAYER_DYES
  t.ok(at(red, 656.28) > 0.85 && at(green, 656.28) < 0.06 && at(blue, 656.28) < 0.06, 'H-alpha is red')
  t.ok(at(green, 500.684) > at(blue, 500.684) && at(red, 500.684) < 0.05, '[O III] is green, then blue')
  t.ok(at(blue, 486.133) > at(green, 486.133), 'H-beta is blue, then green')
  t.ok(at(red, 656.28) > 0 && at(green, 656.28) > 0 && at(blue, 656.28) > 0, 'none is closed')
  t.end()
})

void t.test('the dyes are alike in the infrared and cover all that silicon sees', (t) => {
  for (const dye of Object.values(BAYER_DYES)) {
    t.equal(at(dye, 850), 0.85)
    t.ok(at(dye, 300) > 0 && at(dye, 1100) > 0)
    for (const { value } of dye) t.ok(value > 0 && value < 1)
  }
  t.end()
})

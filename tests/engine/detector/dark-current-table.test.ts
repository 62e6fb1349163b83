import t from 'tap'
import { darkCurrentTable } from '../../../src/engine/detector/dark-current-table.ts'
import { depletionDoublingCelsius, depletionRatio } from '../../../src/engine/detector/dark-current-forms.ts'
import { near, refuses } from '../../support/near.ts'

const QUESTION = {
  law: { reference: { electronsPerPixelSecond: 0.5, atCelsius: 20 }, doublingCelsius: 6 },
  temperaturesCelsius: [20, 8, -10],
  subLengthsSeconds: [60, 300],
  skyElectronsPerPixelSecond: 0.5,
  readNoiseElectrons: 3,
}

void t.test('a row per temperature with both forms, a cell per length', (t) => {
  const { rows, doublingCelsius } = darkCurrentTable(QUESTION)
  t.equal(doublingCelsius, 6)
  t.same(
    rows.map(({ celsius }) => celsius),
    [20, 8, -10],
  )
  const [warm, cool, cold] = rows
  t.match(warm, { electronsPerPixelSecond: 0.5, form: 'doubling', stretchCelsius: 0, darkToSkyNoise: 1 })
  t.match(warm?.cells, [
    { subSeconds: 60, darkElectrons: 30, noiseShare: 30 / 69, noiseExcessShare: Math.sqrt(69 / 39) - 1 },
    { subSeconds: 300, darkElectrons: 150, noiseShare: 150 / 309, noiseExcessShare: Math.sqrt(309 / 159) - 1 },
  ])
  t.match(cool, { electronsPerPixelSecond: 0.125, doublingElectronsPerPixelSecond: 0.125, darkToSkyNoise: 0.5 })
  t.equal(cold?.doublingElectronsPerPixelSecond, 0.5 / 32)
  near(
    t,
    Number(cold?.depletionElectronsPerPixelSecond),
    0.5 * depletionRatio({ temperatureCelsius: -10, referenceCelsius: 20 }),
    1e-15,
    'the other form beside it',
  )
  t.end()
})

void t.test('without a doubling step the depletion form is used, and its step at the reference for the other', (t) => {
  const { rows, doublingCelsius } = darkCurrentTable({ ...QUESTION, law: { reference: QUESTION.law.reference } })
  t.equal(doublingCelsius, depletionDoublingCelsius(20))
  const cold = rows.at(-1)
  t.equal(cold?.form, 'depletion')
  t.equal(cold?.electronsPerPixelSecond, cold?.depletionElectronsPerPixelSecond)
  near(t, Number(cold?.doublingElectronsPerPixelSecond), 0.5 * 2 ** (-30 / doublingCelsius), 1e-15, 'doubling')
  t.ok(Number(cold?.doublingElectronsPerPixelSecond) > Number(cold?.depletionElectronsPerPixelSecond))
  t.end()
})

void t.test('without other noise there is nothing to compare the dark current with', (t) => {
  const noiseless = { ...QUESTION, skyElectronsPerPixelSecond: 0, readNoiseElectrons: 0 }
  const [row] = darkCurrentTable(noiseless).rows
  t.equal(row?.darkToSkyNoise, null)
  t.match(row?.cells, [{ noiseShare: 1, noiseExcessShare: null }, {}])
  const dark = { reference: { electronsPerPixelSecond: 0, atCelsius: 20 } }
  const [none] = darkCurrentTable({ ...noiseless, law: dark }).rows
  t.match(none?.cells, [{ darkElectrons: 0, noiseShare: 0, noiseExcessShare: null }, {}])
  t.same(darkCurrentTable({ ...QUESTION, temperaturesCelsius: [] }).rows, [])
  t.end()
})

void t.test('what has no meaning is refused', (t) => {
  const refused = (change: Partial<typeof QUESTION>) => {
    refuses(t, () => darkCurrentTable({ ...QUESTION, ...change }), 'out-of-range', Object.keys(change).join())
  }
  refused({ skyElectronsPerPixelSecond: -1 })
  refused({ readNoiseElectrons: -1 })
  refused({ subLengthsSeconds: [60, 0] })
  refused({ temperaturesCelsius: [200] })
  t.end()
})

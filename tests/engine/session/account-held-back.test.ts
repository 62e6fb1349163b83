import t from 'tap'
import {
  AccountSubs,
  HELD_BACK_FACTORS,
  heldBackBy,
  stackOf,
  stackSnr,
  subTerms,
  type AccountModel,
  type AccountSub,
  type HeldBackFactor,
} from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'
import { pixelModel, REFERENCE } from './models.ts'

const QUIET = { readout: { readNoiseElectrons: 0, quantizationElectrons2: 0 } }
const COLD = { ...REFERENCE, darkElectronsPerPixelSecond: 0, capturedFraction: 0.8 }
const NO_TIME = {
  exposureSeconds: 0,
  cloudSeconds: 0,
  spellSeconds: 0,
  rejectedSeconds: 0,
  deadSeconds: 0,
  pauseSeconds: 0,
}
const TIME = { ...NO_TIME, exposureSeconds: 1200 }
const tenOf = (sub: Partial<AccountSub>) => AccountSubs.of(...Array.from({ length: 10 }, () => ({ ...COLD, ...sub })))

function heldBack(subs: AccountSubs, given: Partial<AccountModel> = {}, time = TIME) {
  const model = pixelModel({ ...QUIET, ...given })
  return heldBackBy({ subs, stack: stackOf(subTerms(subs, model), model), model, reference: COLD, time })
}

const informationOf = (subs: AccountSubs, given: Partial<AccountModel> = {}) => {
  const model = pixelModel({ ...QUIET, ...given })
  return stackSnr(stackOf(subTerms(subs, model), model), model) ** 2
}

const best = informationOf(tenOf({}))

void t.test('nothing holds back a night that was as it should be', (t) => {
  for (const [factor, gained] of Object.entries(heldBack(tenOf({})))) t.ok(gained < 1e-12, factor)
  t.end()
})

void t.test('each trouble alone is told, and nothing else', (t) => {
  const troubles: [HeldBackFactor, number, ReturnType<typeof heldBack>][] = [
    ['transparency', best - informationOf(tenOf({ transparency: 0.5 })), heldBack(tenOf({ transparency: 0.5 }))],
    [
      'sky',
      best - informationOf(tenOf({ skyElectronsPerPixelSecond: 2 })),
      heldBack(tenOf({ skyElectronsPerPixelSecond: 2 })),
    ],
    [
      'dark-current',
      best - informationOf(tenOf({ darkElectronsPerPixelSecond: 0.4 })),
      heldBack(tenOf({ darkElectronsPerPixelSecond: 0.4 })),
    ],
    ['seeing', best - informationOf(tenOf({ capturedFraction: 0.4 })), heldBack(tenOf({ capturedFraction: 0.4 }))],
    [
      'read-noise',
      best - informationOf(tenOf({}), { readout: { readNoiseElectrons: 5, quantizationElectrons2: 0 } }),
      heldBack(tenOf({}), { readout: { readNoiseElectrons: 5, quantizationElectrons2: 0 } }),
    ],
    [
      'calibration',
      best - informationOf(tenOf({}), { masters: [3], calibration: { darkFrames: 1 } }),
      heldBack(tenOf({}), { masters: [3], calibration: { darkFrames: 1 } }),
    ],
    ['combining', 0.36 * best, heldBack(tenOf({}), { efficiency: 0.64 })],
    ['dead-time', best / 4, heldBack(tenOf({}), {}, { ...TIME, deadSeconds: 300 })],
    ['pauses', best / 2, heldBack(tenOf({}), {}, { ...TIME, pauseSeconds: 600 })],
    ['cloud', best / 2, heldBack(tenOf({}), {}, { ...TIME, cloudSeconds: 600 })],
    ['rejected-in-a-row', best / 6, heldBack(tenOf({}), {}, { ...TIME, spellSeconds: 200 })],
    ['rejected', best / 3, heldBack(tenOf({}), {}, { ...TIME, rejectedSeconds: 400 })],
  ]
  t.same(troubles.map(([factor]) => factor).sort(), [...HELD_BACK_FACTORS].sort())
  for (const [factor, expected, gained] of troubles) {
    near(t, gained[factor], expected, 1e-9, factor)
    for (const other of HELD_BACK_FACTORS) if (other !== factor) t.ok(gained[other] < 1e-12, `${factor}, not ${other}`)
  }
  t.end()
})

void t.test('better than the reference is no trouble', (t) => {
  const gained = heldBack(tenOf({ transparency: 1.3, skyElectronsPerPixelSecond: 0.1, capturedFraction: 0.9 }))
  for (const factor of HELD_BACK_FACTORS) t.ok(gained[factor] < 1e-12, factor)
  t.end()
})

void t.test('where no sub counts, rejected ones are worth what the reference is', (t) => {
  const time = { ...NO_TIME, rejectedSeconds: 1200 }
  near(t, heldBack(new AccountSubs(0), {}, time).rejected, best, 1e-12, 'ten reference subs')
  const nothing = heldBack(new AccountSubs(0), {}, { ...time, rejectedSeconds: 0 })
  for (const factor of HELD_BACK_FACTORS) t.equal(nothing[factor], 0, factor)
  t.end()
})

import t from 'tap'
import { chooseLength, informationRate, readNoiseSeconds, type LengthQuestion } from '../../../src/engine/index.ts'
import { near } from '../../support/near.ts'

const QUESTION: LengthQuestion = {
  currentSeconds: 60,
  candidateSeconds: [30, 60, 120, 300, 600],
  rates: { targetElectronsPerPixelSecond: 0, skyElectronsPerPixelSecond: 0.5, darkElectronsPerPixelSecond: 0 },
  skyDeviation: 0.002,
  readout: { readNoiseElectrons: 5, quantizationElectrons2: 0 },
  losses: { overheadSeconds: 6, interruptionsPerSecond: 2 / 3600, interruptionCost: 'found-afterwards' },
  longestSeconds: () => null,
  minimumGain: 0.03,
  skyTrusted: true,
}

const choose = (over: Partial<LengthQuestion>) => chooseLength({ ...QUESTION, ...over })

function rate(seconds: number, { rates, readout, losses }: LengthQuestion = QUESTION): number {
  return informationRate(seconds, { ...losses, readNoiseSeconds: readNoiseSeconds({ rates, readout }) })
}

void t.test('changes to the best length when that is worth it', (t) => {
  const { subSeconds, reason, gain, bestSeconds } = choose({})
  t.equal(subSeconds, 300)
  t.equal(bestSeconds, 300)
  t.equal(reason, 'gain')
  near(t, gain, rate(300) / rate(60) - 1, 1e-12, 'gain')
  t.equal(choose({ currentSeconds: 600 }).subSeconds, 300)
  t.match(choose({ currentSeconds: 300 }), { subSeconds: 300, reason: 'best', gain: 0 })
  t.end()
})

void t.test('no change below the stated gain, whatever it is', (t) => {
  const gain = rate(300) / rate(120) - 1
  t.ok(gain > 0.03)
  t.match(choose({ currentSeconds: 120, minimumGain: gain * 1.001 }), { subSeconds: 120, reason: 'not-worth-it' })
  t.match(choose({ currentSeconds: 120, minimumGain: gain * 0.9 }), { subSeconds: 300, reason: 'gain' })
  t.end()
})

void t.test('no change that noise could have made up, or before the sky is known', (t) => {
  t.match(choose({ skyTrusted: false }), { subSeconds: 60, reason: 'not-certain' })
  const minimumGain = (rate(300) / rate(120) - 1) * 0.98
  t.match(choose({ currentSeconds: 120, minimumGain, skyDeviation: 0.0001 }).reason, 'gain')
  t.match(choose({ currentSeconds: 120, minimumGain, skyDeviation: 0.1 }), { subSeconds: 120, reason: 'not-certain' })
  t.end()
})

void t.test('hard bounds hold at once, and a longer sub must keep them with room to spare', (t) => {
  t.match(choose({ currentSeconds: 300, longestSeconds: () => 200 }), { subSeconds: 120, reason: 'bound' })
  t.match(choose({ longestSeconds: () => 20 }), { subSeconds: 30, reason: 'none-allowed' })
  const longestSeconds = (skyFactor: number) => 310 / skyFactor
  t.equal(choose({ longestSeconds }).subSeconds, 120, '300 s would break the bound were the sky a tenth brighter')
  t.equal(choose({ longestSeconds, currentSeconds: 300 }).subSeconds, 300, 'but is kept while it does not')
  t.match(choose({ currentSeconds: 45 }), { subSeconds: 300, reason: 'not-on-ladder' })
  t.end()
})

void t.test('without interruptions the shortest that is as good', (t) => {
  const losses = { ...QUESTION.losses, interruptionsPerSecond: 0 }
  const question = { ...QUESTION, losses, candidateSeconds: [60, 300, 600, 1200, 2400, 4800] }
  const { subSeconds } = choose(question)
  t.ok(rate(subSeconds, question) >= rate(4800, question) / 1.03)
  t.ok(rate(subSeconds / 2, question) < rate(4800, question) / 1.03)
  t.match(choose({ ...question, currentSeconds: subSeconds }), { subSeconds, reason: 'best' })
  t.end()
})

void t.test('a length of which next to nothing survives gains a finite amount', (t) => {
  const losses = { ...QUESTION.losses, interruptionsPerSecond: 1 }
  const { gain } = choose({ losses, currentSeconds: 86400, candidateSeconds: [30, 86400] })
  t.ok(Number.isFinite(gain))
  t.end()
})

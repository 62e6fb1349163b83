// What the trade knows of cameras, and the comparison must know too.

import t from 'tap'
import { near } from '../support/near.ts'
import { camera, setup, ask, hoursOf, rowOf, type Request, type Setup, GARDEN, MEADOW } from './comparison-setups.ts'

void t.test(
  'CCD subs take five minutes and up, about half an hour in narrow bands (common practice, no source)',
  (t) => {
    const lengths = (filter: Setup['filter'], sky: typeof GARDEN, target: Omit<Request['targets'][number], 'name'>) => {
      const optics = { like: 'newtonian' as const }
      const answer = ask(
        [
          { name: 'ccd', camera: { like: 'old-cooled-ccd' }, optics, filter, plan: { overheadSeconds: 25 } },
          { name: 'cmos', camera: { like: 'cooled-mono-cmos' }, optics, filter, plan: { overheadSeconds: 3 } },
        ],
        { skies: [{ name: 'site', sky }], targets: [{ name: 'it', ...target }] },
      )
      return answer.rows.map(({ channels }) => channels[0]?.subSeconds ?? NaN)
    }
    const [broadCcd = NaN, broadCmos = NaN] = lengths({ band: 'luminance' }, GARDEN, { surfaceMagPerArcsec2: 22.5 })
    t.ok(broadCcd >= 300 && broadCcd <= 900, `broadband in the garden: ${broadCcd} s against ${broadCmos} s`)
    const line = { line: 'h-alpha', rayleighs: 30 } as const
    const [narrowCcd = NaN, narrowCmos = NaN] = lengths({ band: 'h-alpha', widthNm: 7 }, MEADOW, line)
    t.ok(
      narrowCcd >= 1200 && narrowCcd <= 2700,
      `narrow band: about half an hour: ${narrowCcd} s against ${narrowCmos} s`,
    )
    t.ok(narrowCcd / narrowCmos >= 2, `${narrowCcd / narrowCmos} times as long once losses bound both`)
    t.end()
  },
)

void t.test(
  'with 5 times the read noise and larger pixels CCD subs are 5 to 10 times longer (common practice, no source)',
  (t) => {
    const plan = { overheadSeconds: 0, interruptionsPerHour: 0 }
    const answer = ask(
      [
        setup('ccd', { camera: camera({ pixelSizeUm: 6.8, readNoiseElectrons: 8 }), plan }),
        setup('cmos', { camera: camera({ pixelSizeUm: 3.76, readNoiseElectrons: 1.6 }), plan }),
      ],
      { skies: [{ name: 'meadow', sky: MEADOW }] },
    )
    const [ccd = NaN, cmos = NaN] = answer.rows.map(({ channels }) => channels[0]?.subSeconds)
    t.ok(ccd / cmos >= 5 && ccd / cmos <= 10, `where read noise alone asks for length: ${ccd} s against ${cmos} s`)
    t.end()
  },
)

void t.test('a lost sub costs its own length: 2 minutes or half an hour (common practice, no source)', (t) => {
  const lossOf = (subSeconds: number) => {
    const plan = { subSeconds, overheadSeconds: 0, refocusSeconds: 0 }
    const answer = ask(
      [
        setup('calm', { plan: { ...plan, interruptionsPerHour: 0 } }),
        setup('spoiled', { plan: { ...plan, interruptionsPerHour: 0.1 } }),
      ],
      { goal: { snr: 200 } },
    )
    const lostHours = hoursOf(answer, 1) - hoursOf(answer, 0)
    return (lostHours * 3600) / (hoursOf(answer, 0) * 0.1)
  }
  near(t, lossOf(120), 120 * (Math.expm1(120 / 36000) / (120 / 36000)), 1e-9, 'seconds lost for each interruption')
  near(t, lossOf(1800), 1800 * (Math.expm1(0.05) / 0.05), 1e-9, 'with those that spoil a sub twice')
  t.end()
})

void t.test(
  'cooling from +20 to −15 °C cuts dark current by 2^(35/6) where it doubles every 6 (common practice, no source)',
  (t) => {
    const at = (temperatureCelsius: number) =>
      setup(`at ${temperatureCelsius}`, {
        camera: camera({
          darkCurrent: { electronsPerPixelSecond: 0.4, atCelsius: 20, doublingCelsius: 6 },
          temperatureCelsius,
        }),
        filter: { band: 'h-alpha', widthNm: 7 },
        plan: { subSeconds: 300 },
      })
    const answer = ask([at(20), at(-15)], { skies: [{ name: 'meadow', sky: MEADOW }], goal: { snr: 1 } })
    const [warm, cold] = [rowOf(answer, 0), rowOf(answer, 1)].map(({ channels }) => channels[0])
    const ratio = (warm?.darkElectronsPerPixelSecond ?? NaN) / (cold?.darkElectronsPerPixelSecond ?? NaN)
    near(t, ratio, 2 ** (35 / 6), 1e-12, 'dark current')
    t.equal(warm?.dominantTerm, 'dark')
    const toTheRest = (share = NaN) => share / (1 - share)
    const cut = toTheRest(warm?.noiseShares.dark) / toTheRest(cold?.noiseShares.dark)
    near(t, cut, 2 ** (35 / 6), 1e-9, 'and its noise against all other')
    t.ok(hoursOf(answer, 1) < 0.5 * hoursOf(answer, 0), 'and with it the time')
    t.end()
  },
)

void t.test('an unmodified consumer camera loses three quarters of H-alpha (common practice, no source)', (t) => {
  const make = (like: 'unmodified-consumer' | 'modified-consumer') => ({
    name: like,
    camera: { like },
    optics: { like: 'camera-lens' as const },
    filter: { band: 'h-alpha' as const, widthNm: 3 },
  })
  const answer = ask([make('unmodified-consumer'), make('modified-consumer')], {
    targets: [{ name: 'nebula', line: 'h-alpha', rayleighs: 300 }],
    goal: { snr: 2 },
  })
  const [stock, modified] = [rowOf(answer, 0), rowOf(answer, 1)].map(({ channels }) => channels[0])
  const kept = (stock?.targetElectronsPerPixelSecond ?? NaN) / (modified?.targetElectronsPerPixelSecond ?? NaN)
  t.ok(Math.abs(kept - 0.25) < 0.005, `${kept} of the light is left`)
  t.ok(hoursOf(answer, 0) > 4 * hoursOf(answer, 1), 'and more than four times the time')
  t.end()
})

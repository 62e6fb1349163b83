import t from 'tap'
import { dividedSpectrum, spectrumMean, stepSpectrum } from '../../../src/engine/light/spectrum.ts'
import { near } from '../../support/near.ts'

const table = {
  binMeans: [1, 2, 3, 4],
  windowMeans: [
    { centerAngstrom: 4400, widthAngstrom: 70, mean: 2.5 },
    { centerAngstrom: 4400, widthAngstrom: 30, mean: 5 },
  ],
}

void t.test('a step spectrum reproduces every mean it was made of, windows across a bin edge too', (t) => {
  const spectrum = stepSpectrum(table)
  const mean = (fromNm: number, toNm: number): number => spectrumMean({ spectrum, fromNm, toNm })
  near(t, mean(400, 420), 1, 1e-12, 'first bin')
  near(t, mean(420, 440), 2, 1e-12, 'bin with the left half of the windows')
  near(t, mean(440, 460), 3, 1e-12, 'bin with the right half')
  near(t, mean(460, 480), 4, 1e-12, 'last bin')
  near(t, mean(436.5, 443.5), 2.5, 1e-12, 'wide window')
  near(t, mean(438.5, 441.5), 5, 1e-12, 'narrow window')
  t.end()
})

void t.test('the steps join from 300 to 1100 nm, with the outer values held', (t) => {
  const spectrum = stepSpectrum(table)
  let reachedNm = 300
  for (const { fromNm, toNm } of spectrum) {
    t.equal(fromNm, reachedNm)
    t.ok(toNm > fromNm)
    reachedNm = toNm
  }
  t.equal(reachedNm, 1100)
  near(t, spectrumMean({ spectrum, fromNm: 300, toNm: 400 }), 1, 1e-12, 'before the table')
  near(t, spectrumMean({ spectrum, fromNm: 480, toNm: 1100 }), 4, 1e-12, 'after the table')
  t.end()
})

void t.test('what is left outside the windows makes the mean of the bin', (t) => {
  const spectrum = stepSpectrum(table)
  // 4365 to 4385 Å is what the wide window leaves: (2.5 · 70 - 5 · 30)/40.
  near(t, spectrumMean({ spectrum, fromNm: 436.6, toNm: 438.4 }), 0.625, 1e-12, 'rest of the wide window')
  // 4200 to 4365 Å: (2 · 200 - 0.625 · 20 - 5 · 15)/165.
  near(t, spectrumMean({ spectrum, fromNm: 420, toNm: 436.5 }), 312.5 / 165, 1e-12, 'rest of the bin')
  t.end()
})

void t.test('dividing a spectrum changes none of its means', (t) => {
  const spectrum = stepSpectrum(table)
  const divided = dividedSpectrum(spectrum, [350, 430, 430, 440, 250, 1200, 900])
  t.equal(divided.length, spectrum.length + 3, 'three new edges, the rest being edges already or outside')
  for (const [fromNm, toNm] of [
    [300, 1100],
    [340, 360],
    [420, 440],
    [436, 445],
  ] as const) {
    const whole = spectrumMean({ spectrum, fromNm, toNm })
    near(t, spectrumMean({ spectrum: divided, fromNm, toNm }), whole, 1e-12, `${fromNm} to ${toNm} nm`)
  }
  t.end()
})

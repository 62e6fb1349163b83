import t from 'tap'
import { nearest } from '../../src/contract/nearest.ts'

void t.test('a word that is left out is nearer than another word', (t) => {
  const known = ['relativeFwhm', 'relativeStarFlux', 'sensorCelsius', 'subSeconds', 'startedAt']
  t.equal(nearest('relativeFlux', known), 'relativeStarFlux')
  t.equal(nearest('relative_fwhm', known), 'relativeFwhm')
  t.equal(nearest('celsius', known), 'sensorCelsius')
  t.equal(nearest('seconds', known), 'subSeconds')
  t.equal(nearest('wind', known), undefined)
  t.end()
})

void t.test('a name stands for the known one that is only a slip away', (t) => {
  const known = ['apertureMm', 'focalLengthMm', 'readNoiseElectrons', 'snr', 'per', 'constructor']
  const meant: [string, string | undefined][] = [
    ['focalLength', 'focalLengthMm'],
    ['focal_length_mm', 'focalLengthMm'],
    ['FOCALLENGTHMM', 'focalLengthMm'],
    ['fcoalLengthMm', 'focalLengthMm'],
    ['readNoise', 'readNoiseElectrons'],
    ['aparture', 'apertureMm'],
    ['snrs', 'snr'],
    ['srn', undefined],
    ['gain', undefined],
    ['', undefined],
    ['x', undefined],
    ['f'.repeat(200), undefined],
  ]
  for (const [name, expected] of meant) t.equal(nearest(name, known), expected, name)
  t.equal(nearest('anything', []), undefined)
  t.end()
})

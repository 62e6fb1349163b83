import t from 'tap'
import { capturedSquaredShares } from '../../../src/engine/detector/captured-squares.ts'
import { noiseEquivalentAreaPx } from '../../../src/engine/detector/noise-equivalent-area.ts'
import { pixelShare, radialGrowth, type StarImage } from '../../../src/engine/detector/point-spread.ts'
import { near, refuses } from '../../support/near.ts'

/** The same by brute force: pixels whose centre lies inside, over a grid of positions of the star on its pixel. */
function counted(image: StarImage, radiusPx: number): number {
  const growth = radialGrowth(image)
  const steps = 24
  const reach = Math.ceil(radiusPx) + 1
  let sum = 0
  for (let i = 0; i < steps; i++) {
    for (let j = 0; j < steps; j++) {
      const [dx, dy] = [(i + 0.5) / steps - 0.5, (j + 0.5) / steps - 0.5]
      for (let x = -reach; x <= reach; x++) {
        for (let y = -reach; y <= reach; y++) {
          if ((x - dx) ** 2 + (y - dy) ** 2 < radiusPx ** 2) sum += pixelShare(growth, x - dx, y - dy) ** 2
        }
      }
    }
  }
  return sum / steps ** 2
}

void t.test('squares within an aperture against a count over pixels', (t) => {
  const images: StarImage[] = [
    { profile: { kind: 'gaussian' }, fwhmPx: 1.3 },
    { profile: { kind: 'gaussian' }, fwhmPx: 3 },
    { profile: { kind: 'moffat', beta: 2.5 }, fwhmPx: 2 },
  ]
  for (const image of images) {
    for (const radiusPx of [1, 2.5, 4]) {
      near(
        t,
        capturedSquaredShares({ ...image, radiusPx }),
        counted(image, radiusPx),
        0.01,
        `${image.fwhmPx}, ${radiusPx}`,
      )
    }
  }
  t.end()
})

void t.test(
  'a wide aperture holds the inverse of the noise-equivalent area (D-PSF-11, pixel-integrated Gaussian, computed)',
  (t) => {
    for (const [fwhmPx, area] of [
      [3, 21.451],
      [4, 37.311],
    ] as const) {
      const image: StarImage = { profile: { kind: 'gaussian' }, fwhmPx }
      near(t, 1 / capturedSquaredShares({ ...image, radiusPx: 20 }), area, 5e-4, `${fwhmPx} px`)
      t.ok(noiseEquivalentAreaPx(image) < area, 'pixels only widen a star')
    }
    t.equal(capturedSquaredShares({ profile: { kind: 'gaussian' }, fwhmPx: 3, radiusPx: 0 }), 0)
    refuses(
      t,
      () => capturedSquaredShares({ profile: { kind: 'gaussian' }, fwhmPx: 3, radiusPx: -1 }),
      'out-of-range',
      'radius',
    )
    t.end()
  },
)

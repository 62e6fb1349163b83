// Over how many pixels a star spreads, as noise sees it: one over the sum of its squared shares. King 1983, PASP 95, 163;
// Mighell 2003, ASP 295, 395.

import { coreRadiusPx, pixelShare, radialGrowth, type StarImage } from './point-spread.ts'

/**
 * Noise-equivalent area 1/∫p² of the profile before pixels: a star fitted with its own profile on a flat background has the
 * noise of this many pixels.
 *
 *     Gaussian 4πσ²;   Moffat πa² (2β − 1)/(β − 1)²
 *
 * @returns px²
 * @throws {EngineError} `out-of-range`
 * @source King 1983; Mighell 2003
 */
export function noiseEquivalentAreaPx(image: StarImage): number {
  const area = Math.PI * coreRadiusPx(image) ** 2
  if (image.profile.kind === 'gaussian') return 2 * area
  const { beta } = image.profile
  return (area * (2 * beta - 1)) / (beta - 1) ** 2
}

/** From this width on, what the pixel takes off the squared shares is a short series, good to 10⁻⁵. */
const SERIES_FROM_FWHM_PX = 5

/**
 * Sum of the squares of a star's share per pixel, the star being centred on a pixel: what independent errors per pixel
 * (a flat field's) weigh with. Its inverse is the noise-equivalent area after sampling.
 *
 * @returns 0 to 1
 * @throws {EngineError} `out-of-range`
 * @source Mighell 2003 for the area; the sum derived from the pixels' shares
 */
export function squaredPixelShares(image: StarImage): number {
  return image.fwhmPx >= SERIES_FROM_FWHM_PX ? broadSquaredShares(image) : narrowSquaredShares(image)
}

/** Pixel by pixel out to three widths, and beyond that square from the profile itself. */
function narrowSquaredShares(image: StarImage): number {
  const growth = radialGrowth(image)
  const last = Math.ceil(3 * image.fwhmPx) + 1
  let sum = 0
  for (let x = 0; x <= last; x++) {
    for (let y = 0; y <= x; y++) {
      const alike = (x === 0 ? 1 : 4) * (y === 0 || y === x ? 1 : 2)
      sum += alike * pixelShare(growth, x, y) ** 2
    }
  }
  return sum + squaredShareOutside(image, last + 0.5)
}

/** ∫p² outside a square about the star. The square of a profile is again one, of another width. */
function squaredShareOutside(image: StarImage, halfSide: number): number {
  const { profile, fwhmPx } = image
  const squared: StarImage =
    profile.kind === 'gaussian'
      ? { profile, fwhmPx: fwhmPx * Math.SQRT1_2 }
      : {
          profile: { kind: 'moffat', beta: 2 * profile.beta },
          fwhmPx: fwhmPx * Math.sqrt((2 ** (0.5 / profile.beta) - 1) / (2 ** (1 / profile.beta) - 1)),
        }
  // Scaled so that the square is a pixel. What a growth lacks to 1 flows in where the growth flows out.
  const growth = radialGrowth(squared)
  const outside = pixelShare((radius2) => 1 - growth(radius2 * 4 * halfSide ** 2), 0, 0)
  return outside / noiseEquivalentAreaPx(image)
}

/**
 * ∫p² (1 − ⟨k²⟩/12 + 17⟨k⁴⟩/5760), k the spatial frequency: the pixel multiplies the profile's spectrum by
 * sinc²(k_x/2) sinc²(k_y/2), averaged here over direction.
 */
function broadSquaredShares(image: StarImage): number {
  const { k2, k4 } = spectralMoments(image)
  return (1 - k2 / 12 + (17 * k4) / 5760) / noiseEquivalentAreaPx(image)
}

/** Moments of spatial frequency under the profile's power spectrum, ∫|∇p|²/∫p² and ∫(∇²p)²/∫p². */
function spectralMoments(image: StarImage): { k2: number; k4: number } {
  const core2 = coreRadiusPx(image) ** 2
  if (image.profile.kind === 'gaussian') return { k2: 2 / core2, k4: 8 / core2 ** 2 }
  const { beta } = image.profile
  const k2 = (2 * beta * (2 * beta - 1)) / ((2 * beta + 1) * core2)
  const bend = (beta * beta) / ((beta + 1) * (2 * beta + 1)) - beta / (beta + 1) + 1
  return { k2, k4: (16 * beta * beta * (2 * beta - 1) * bend) / ((2 * beta + 3) * core2 ** 2) }
}

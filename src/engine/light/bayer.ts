// Dyes of a Bayer sensor. The shapes are typical, with a few per cent of leakage between the colours, and alike in
// the infrared, where the dyes are clear.

import type { CurvePoint } from './curve.ts'

/** The colours of a Bayer sensor. */
export type BayerColor = 'red' | 'green' | 'blue'

/** Where {@link BAYER_DYES} come from. */
export const BAYER_DYE_SOURCE = 'common practice, no source'

/** Share of all pixels that sample each colour. */
export const BAYER_SAMPLING_FRACTIONS = { red: 0.25, green: 0.5, blue: 0.25 } as const

/** Transmission of each dye. */
export const BAYER_DYES = {
  red: [
    { wavelengthNm: 300, value: 0.02 },
    { wavelengthNm: 400, value: 0.04 },
    { wavelengthNm: 420, value: 0.05 },
    { wavelengthNm: 450, value: 0.03 },
    { wavelengthNm: 500, value: 0.02 },
    { wavelengthNm: 540, value: 0.04 },
    { wavelengthNm: 560, value: 0.08 },
    { wavelengthNm: 570, value: 0.18 },
    { wavelengthNm: 580, value: 0.5 },
    { wavelengthNm: 590, value: 0.75 },
    { wavelengthNm: 600, value: 0.85 },
    { wavelengthNm: 620, value: 0.9 },
    { wavelengthNm: 660, value: 0.9 },
    { wavelengthNm: 700, value: 0.88 },
    { wavelengthNm: 820, value: 0.85 },
    { wavelengthNm: 1100, value: 0.85 },
  ],
  green: [
    { wavelengthNm: 300, value: 0.02 },
    { wavelengthNm: 400, value: 0.03 },
    { wavelengthNm: 450, value: 0.1 },
    { wavelengthNm: 470, value: 0.18 },
    { wavelengthNm: 486.1, value: 0.3 },
    { wavelengthNm: 500.7, value: 0.6 },
    { wavelengthNm: 515, value: 0.82 },
    { wavelengthNm: 530, value: 0.9 },
    { wavelengthNm: 545, value: 0.88 },
    { wavelengthNm: 560, value: 0.78 },
    { wavelengthNm: 580, value: 0.5 },
    { wavelengthNm: 600, value: 0.22 },
    { wavelengthNm: 620, value: 0.09 },
    { wavelengthNm: 640, value: 0.05 },
    { wavelengthNm: 656.3, value: 0.04 },
    { wavelengthNm: 680, value: 0.05 },
    { wavelengthNm: 700, value: 0.1 },
    { wavelengthNm: 740, value: 0.3 },
    { wavelengthNm: 780, value: 0.65 },
    { wavelengthNm: 820, value: 0.85 },
    { wavelengthNm: 1100, value: 0.85 },
  ],
  blue: [
    { wavelengthNm: 300, value: 0.05 },
    { wavelengthNm: 380, value: 0.35 },
    { wavelengthNm: 400, value: 0.6 },
    { wavelengthNm: 420, value: 0.75 },
    { wavelengthNm: 450, value: 0.85 },
    { wavelengthNm: 470, value: 0.75 },
    { wavelengthNm: 486.1, value: 0.55 },
    { wavelengthNm: 500.7, value: 0.45 },
    { wavelengthNm: 520, value: 0.22 },
    { wavelengthNm: 540, value: 0.09 },
    { wavelengthNm: 560, value: 0.04 },
    { wavelengthNm: 600, value: 0.02 },
    { wavelengthNm: 656.3, value: 0.03 },
    { wavelengthNm: 700, value: 0.05 },
    { wavelengthNm: 740, value: 0.12 },
    { wavelengthNm: 780, value: 0.55 },
    { wavelengthNm: 820, value: 0.85 },
    { wavelengthNm: 1100, value: 0.85 },
  ],
} as const satisfies Record<BayerColor, readonly CurvePoint[]>

// The Heron Ridge club, which does not exist: a garden under a town sky, a meadow an hour away, and the set-ups of four
// members. The examples of the OpenAPI document are theirs.

import type { z } from 'zod'
import type { CameraSchema } from './camera.ts'
import type { OpticsSchema } from './optics.ts'
import type { PlanSchema } from './plan.ts'
import type { SkySchema } from './sky.ts'

interface Member {
  description: string
  camera: z.input<typeof CameraSchema>
  optics: z.input<typeof OpticsSchema>
  plan: z.input<typeof PlanSchema>
}

export const GARDEN: z.input<typeof SkySchema> = {
  magPerArcsec2: 18.9,
  lamps: { 'high-pressure-sodium': 0.2, 'led-3000k': 0.3, 'led-4100k': 0.5 },
  targetAltitudeDegrees: 60,
  extinctionMagPerAirmass: 0.28,
}

export const MEADOW: z.input<typeof SkySchema> = {
  magPerArcsec2: 21.5,
  lamps: { 'high-pressure-sodium': 0.3, 'led-4100k': 0.7 },
  targetAltitudeDegrees: 60,
  extinctionMagPerAirmass: 0.22,
}

const TRIPOD_PLAN: z.input<typeof PlanSchema> = {
  overheadSeconds: 3,
  interruptionsPerHour: 1.5,
  longestTrackedSeconds: 150,
  fwhmArcsec: 7,
}

const TELEPHOTO: z.input<typeof OpticsSchema> = { apertureMm: 50, focalLengthMm: 200, transmission: 0.85 }

export const MEMBERS = {
  'unmodified-camera': {
    description: 'an unmodified consumer camera with a telephoto lens on a tripod-grade tracking mount',
    camera: { like: 'unmodified-consumer', temperatureCelsius: 14 },
    optics: TELEPHOTO,
    plan: TRIPOD_PLAN,
  },
  'modified-camera': {
    description: 'the same camera with its infrared-blocking filter taken out',
    camera: { like: 'modified-consumer', temperatureCelsius: 14 },
    optics: TELEPHOTO,
    plan: TRIPOD_PLAN,
  },
  'cooled-mono': {
    description: 'a cooled monochrome CMOS camera with filters on an 80 mm refractor',
    camera: {
      pixelSizeUm: 3.76,
      widthPx: 6248,
      heightPx: 4176,
      color: 'mono',
      quantumEfficiency: [
        { wavelengthNm: 400, value: 0.72 },
        { wavelengthNm: 500, value: 0.88 },
        { wavelengthNm: 600, value: 0.78 },
        { wavelengthNm: 656, value: 0.67 },
        { wavelengthNm: 700, value: 0.56 },
        { wavelengthNm: 800, value: 0.36 },
        { wavelengthNm: 1000, value: 0.05 },
      ],
      readNoiseElectrons: 1.6,
      electronsPerAdu: 0.25,
      fullWellElectrons: 16000,
      bitDepth: 16,
      offsetAdu: 500,
      darkCurrent: { electronsPerPixelSecond: 0.0008, atCelsius: -10 },
      temperatureCelsius: -10,
      cooler: { reachCelsius: 35 },
    },
    optics: { apertureMm: 80, focalLengthMm: 480, transmission: 0.92 },
    plan: { overheadSeconds: 6, interruptionsPerHour: 1, fwhmArcsec: 3.2 },
  },
  'old-ccd': {
    description: 'an old cooled CCD camera on a 200 mm Newtonian',
    camera: {
      pixelSizeUm: 6.8,
      widthPx: 3326,
      heightPx: 2504,
      color: 'mono',
      quantumEfficiency: 0.5,
      readNoiseElectrons: 9,
      electronsPerAdu: 0.6,
      fullWellElectrons: 35000,
      bitDepth: 16,
      offsetAdu: 1000,
      darkCurrent: { electronsPerPixelSecond: 0.01, atCelsius: -20, doublingCelsius: 6.2 },
      temperatureCelsius: -20,
      cooler: { reachCelsius: 35 },
    },
    optics: { apertureMm: 200, focalLengthMm: 1000, obstructionMm: 70, transmission: 0.76 },
    plan: { overheadSeconds: 25, interruptionsPerHour: 1, fwhmArcsec: 3.5 },
  },
} as const satisfies Record<string, Member>

export const H_ALPHA_7NM = { band: 'h-alpha', widthNm: 7 } as const
export const NEBULA = { line: 'h-alpha', rayleighs: 300 } as const
export const GALAXY_ARM = { surfaceMagPerArcsec2: 22.5 } as const

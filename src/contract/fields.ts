// Each quantity once: its physical range, its unit, what it means. Ranges are those of sense, not of taste: wide enough
// for any instrument an amateur could own, narrow enough to catch a unit mistaken for another.

import { z } from 'zod'

interface Quantity {
  unit: string
  minimum: number
  maximum: number
  description: string
  example: number
}

/** A number as it is meant to be given by everybody. */
export function quantity({ unit, minimum, maximum, description, example }: Quantity) {
  return z
    .number()
    .min(minimum)
    .max(maximum)
    .meta({ description, 'x-unit': unit, examples: [example] })
}

/** A whole number. */
export function count({ minimum, maximum, description, example }: Omit<Quantity, 'unit'>) {
  return z
    .int()
    .min(minimum)
    .max(maximum)
    .meta({ description, 'x-unit': 'count', examples: [example] })
}

/** A number that was measured: plain, or with its standard uncertainty. */
export function measured(it: Quantity) {
  const value = quantity(it)
  return z
    .union([
      value,
      z
        .strictObject({
          value,
          standardUncertainty: z
            .number()
            .min(0)
            .max(it.maximum)
            .meta({
              description: 'Standard uncertainty of the value, in its unit.',
              'x-unit': it.unit,
              examples: [it.example / 10],
            }),
        })
        .meta({ description: `${it.description} With its standard uncertainty.` }),
    ])
    .meta({ description: it.description, 'x-unit': it.unit, examples: [it.example] })
}

/** What `measured` makes of a number, once the request is stripped of its uncertainties. */
export type Plain<T> = T extends { value: number; standardUncertainty: number }
  ? number
  : T extends readonly (infer Item)[]
    ? Plain<Item>[]
    : T extends object
      ? { [Key in keyof T]: Plain<T[Key]> }
      : T

export const pixelSizeUm = measured({
  unit: 'um',
  minimum: 0.5,
  maximum: 100,
  description: 'Side of one physical pixel.',
  example: 3.76,
})

export const readNoiseElectrons = measured({
  unit: 'electron',
  minimum: 0,
  maximum: 1000,
  description: 'Noise of one read of one physical pixel, RMS.',
  example: 1.5,
})

export const electronsPerAdu = measured({
  unit: 'electron/adu',
  minimum: 0.001,
  maximum: 1000,
  description: 'Electrons that raise the output by one ADU.',
  example: 0.78,
})

export const fullWellElectrons = measured({
  unit: 'electron',
  minimum: 100,
  maximum: 1e8,
  description: 'Electrons one physical pixel holds.',
  example: 50000,
})

export const electronsPerPixelSecond = measured({
  unit: 'electron/(pixel.s)',
  minimum: 0,
  maximum: 1e9,
  description: 'Electrons per second on one pixel of the frame.',
  example: 0.9,
})

export const magPerArcsec2 = measured({
  unit: 'mag/arcsec**2',
  minimum: 10,
  maximum: 30,
  description: 'Surface brightness in V, zero point Bessell, Castelli & Plez 1998.',
  example: 20.6,
})

export const starMag = measured({
  unit: 'mag',
  minimum: -2,
  maximum: 30,
  description: 'V magnitude of a star above the atmosphere.',
  example: 12,
})

export const temperatureCelsius = measured({
  unit: 'deg_C',
  minimum: -150,
  maximum: 80,
  description: 'Temperature.',
  example: -10,
})

export const wavelengthNm = quantity({
  unit: 'nm',
  minimum: 200,
  maximum: 1200,
  description: 'Wavelength in air.',
  example: 656.3,
})

export const transmission = measured({
  unit: '',
  minimum: 0.001,
  maximum: 1,
  description: 'Share of the light that passes, 0.001 to 1.',
  example: 0.92,
})

export const subSeconds = quantity({
  unit: 's',
  minimum: 0.001,
  maximum: 86400,
  description: 'Exposure of one sub.',
  example: 120,
})

/** A length of time in an answer: without an upper end, since a faint enough target takes any time. */
export const seconds = z
  .number()
  .min(0)
  .meta({ description: 'Time.', 'x-unit': 's', examples: [14400] })

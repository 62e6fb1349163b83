// Reference data: every value with its source.

import { z } from 'zod'

const source = z.string().meta({ description: 'Where the value comes from.' })
const shares = z.number().min(0).max(1)
const wavelength = z.number().min(200).max(1200)

const RangeSchema = z
  .strictObject({
    typical: z.number().meta({ description: 'Stands in where nothing is given.' }),
    low: z.number().meta({ description: 'Few are below.' }),
    high: z.number().meta({ description: 'Few are above.' }),
  })
  .meta({ id: 'TypicalRange', description: 'A typical value and its usual range.' })

export const BandsSchema = z
  .strictObject({
    source,
    bands: z.array(
      z.strictObject({
        band: z.string().meta({ description: 'Name to give as `filter.band`.' }),
        passes: z
          .array(z.strictObject({ fromNm: wavelength, toNm: wavelength, transmission: shares }))
          .meta({ description: 'What it passes, at its default width.' }),
        widthNm: z
          .number()
          .nullable()
          .meta({ description: 'Default width that `filter.widthNm` changes; null for broad bands.' }),
      }),
    ),
  })
  .meta({ id: 'Bands', description: 'The usual bands.' })

export const LinesSchema = z
  .strictObject({
    source,
    rayleighSource: source,
    rayleighPhotonsPerSecondM2Arcsec2: z.number().meta({ description: 'Photons of 1 R per second, m² and arcsec².' }),
    lines: z.array(
      z.strictObject({
        line: z.string().meta({ description: 'Name of the line; those that `target.line` takes are lower case.' }),
        airNm: wavelength.meta({ description: 'Wavelength in air.' }),
        vacuumNm: wavelength.meta({ description: 'Wavelength in vacuum, after Morton 2000.' }),
      }),
    ),
  })
  .meta({ id: 'Lines', description: 'Emission lines.' })

export const SkyClassesSchema = z
  .strictObject({
    sources: z.strictObject({ nakedEyeLimits: source, magPerArcsec2: source }),
    classes: z.array(
      z.strictObject({
        bortleClass: z.int().min(1).max(9),
        magPerArcsec2: z.number().meta({ description: 'The V brightness that stands for the class.' }),
        fromMagPerArcsec2: z.number().nullable().meta({ description: 'Bright end; null when open.' }),
        toMagPerArcsec2: z.number().nullable().meta({ description: 'Dark end; null when open.' }),
        fromNakedEyeLimitMag: z.number().nullable(),
        toNakedEyeLimitMag: z.number().nullable(),
      }),
    ),
  })
  .meta({ id: 'SkyClasses', description: 'The nine classes of sky.' })

export const LampSpectraSchema = z
  .strictObject({
    source,
    unit: z.string(),
    lamps: z.array(
      z.strictObject({
        lamp: z.string().meta({ description: 'Name to give in `sky.lamps`.' }),
        defaultShare: shares.meta({ description: 'Share in the mixture that stands in where none is given.' }),
        steps: z.array(z.strictObject({ fromNm: wavelength, toNm: wavelength, value: z.number() })),
      }),
    ),
  })
  .meta({ id: 'LampSpectra', description: 'Spectra of the lamps that light the sky.' })

export const ConstantsSchema = z
  .strictObject({
    constants: z.array(
      z.strictObject({
        name: z.string(),
        value: z.number(),
        unit: z.string(),
        standardUncertainty: z.number().min(0).meta({ description: '0 when exact by definition.' }),
        source,
      }),
    ),
  })
  .meta({ id: 'Constants', description: 'Constants the engine counts with.' })

export const SetupsSchema = z
  .strictObject({
    source,
    cameras: z.array(
      z.strictObject({
        like: z.string().meta({ description: 'Name to give as `camera.like`.' }),
        description: z.string(),
        color: z.enum(['mono', 'bayer']),
        infraredBlocker: z.enum(['none', 'photographic']),
        binningKind: z.enum(['on-chip', 'software']),
        widthPx: z.int(),
        heightPx: z.int(),
        bitDepth: z.int(),
        pixelSizeUm: RangeSchema,
        readNoiseElectrons: RangeSchema,
        electronsPerAdu: RangeSchema,
        fullWellElectrons: RangeSchema,
        offsetAdu: RangeSchema,
        darkCurrentElectronsPerPixelSecond: RangeSchema,
        darkCurrentAtCelsius: z.number(),
        temperatureCelsius: RangeSchema,
        coolerReachCelsius: z.number().nullable(),
        quantumEfficiency: z.array(z.strictObject({ wavelengthNm: wavelength, value: shares })),
      }),
    ),
    optics: z.array(
      z.strictObject({
        like: z.string().meta({ description: 'Name to give as `optics.like`.' }),
        description: z.string(),
        apertureMm: RangeSchema,
        focalLengthMm: RangeSchema,
        obstructionShare: RangeSchema,
        transmission: RangeSchema,
      }),
    ),
    filters: z.array(
      z.strictObject({
        band: z.string().meta({ description: 'Name to give as `filter.band`.' }),
        description: z.string(),
        centersNm: z.array(wavelength).meta({ description: 'Centre of each passband, in nanometres.' }),
        widthNm: RangeSchema,
        transmission: RangeSchema,
      }),
    ),
  })
  .meta({ id: 'Setups', description: 'Typical classes of camera, optics and filters. No product is meant.' })

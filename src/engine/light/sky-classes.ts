// Sky classes by appearance. The nine-class scale was published with naked-eye limits only; its brightness in
// mag/arcsec² is common practice without a source. Never chain class, limit and brightness: the limits of the
// scale are those of an experienced observer, a magnitude fainter than the naked-eye relation gives.

import { EngineError, requireInRange } from '../errors.ts'

/** Where the columns of {@link SKY_CLASSES} come from. */
export const SKY_CLASS_SOURCES = {
  nakedEyeLimits: 'Bortle 2001, Sky & Telescope, February 2001 (classes 4 to 9 from memory)',
  magPerArcsec2: 'common practice, no source; users differ by several tenths',
} as const

/**
 * The nine classes: one V value each, the V range from its bright end to its dark end, and the naked-eye limits.
 * Null where a range is open.
 */
export const SKY_CLASSES = [
  {
    skyClass: 1,
    magPerArcsec2: 21.99,
    fromMagPerArcsec2: 21.99,
    toMagPerArcsec2: 22.0,
    fromNakedEyeLimitMag: 7.6,
    toNakedEyeLimitMag: 8.0,
  },
  {
    skyClass: 2,
    magPerArcsec2: 21.94,
    fromMagPerArcsec2: 21.89,
    toMagPerArcsec2: 21.99,
    fromNakedEyeLimitMag: 7.1,
    toNakedEyeLimitMag: 7.5,
  },
  {
    skyClass: 3,
    magPerArcsec2: 21.79,
    fromMagPerArcsec2: 21.69,
    toMagPerArcsec2: 21.89,
    fromNakedEyeLimitMag: 6.6,
    toNakedEyeLimitMag: 7.0,
  },
  {
    skyClass: 4,
    magPerArcsec2: 21.09,
    fromMagPerArcsec2: 20.49,
    toMagPerArcsec2: 21.69,
    fromNakedEyeLimitMag: 6.1,
    toNakedEyeLimitMag: 6.5,
  },
  {
    skyClass: 5,
    magPerArcsec2: 20.0,
    fromMagPerArcsec2: 19.5,
    toMagPerArcsec2: 20.49,
    fromNakedEyeLimitMag: 5.6,
    toNakedEyeLimitMag: 6.0,
  },
  {
    skyClass: 6,
    magPerArcsec2: 19.22,
    fromMagPerArcsec2: 18.94,
    toMagPerArcsec2: 19.5,
    fromNakedEyeLimitMag: 5.1,
    toNakedEyeLimitMag: 5.5,
  },
  {
    skyClass: 7,
    magPerArcsec2: 18.66,
    fromMagPerArcsec2: 18.38,
    toMagPerArcsec2: 18.94,
    fromNakedEyeLimitMag: 4.6,
    toNakedEyeLimitMag: 5.0,
  },
  {
    skyClass: 8,
    magPerArcsec2: 18.19,
    fromMagPerArcsec2: 18.0,
    toMagPerArcsec2: 18.38,
    fromNakedEyeLimitMag: 4.1,
    toNakedEyeLimitMag: 4.5,
  },
  {
    skyClass: 9,
    magPerArcsec2: 17.5,
    fromMagPerArcsec2: null,
    toMagPerArcsec2: 18.0,
    fromNakedEyeLimitMag: null,
    toNakedEyeLimitMag: 4.0,
  },
] as const

/** Appearance tied to brightness by measurement, V mag/arcsec². */
export const MEASURED_APPEARANCES = {
  source: 'Berry 1976, JRASC 70, 97 (last step from memory)',
  steps: [
    { magPerArcsec2: 21.7, appearance: 'The sky is crowded with stars down to the horizon.' },
    { magPerArcsec2: 21.6, appearance: 'Glows of cities show on the horizon.' },
    { magPerArcsec2: 21.1, appearance: 'The Milky Way is brilliant overhead, but not near the horizon.' },
    { magPerArcsec2: 20.4, appearance: 'The Milky Way has lost contrast.' },
    { magPerArcsec2: 19.5, appearance: 'The Milky Way shows only near the zenith.' },
    { magPerArcsec2: 18.5, appearance: 'The Milky Way is gone.' },
  ],
} as const

/**
 * The one V brightness that stands for a class of the nine-class scale.
 *
 * @param skyClass  1 to 9
 * @returns V mag/arcsec² of the moonless zenith sky
 * @throws {EngineError} `out-of-range` for anything but a whole number from 1 to 9
 * @source common practice, no source
 */
export function magPerArcsec2OfSkyClass(skyClass: number): number {
  const row = SKY_CLASSES.find((candidate) => candidate.skyClass === skyClass)
  if (row !== undefined) return row.magPerArcsec2
  throw new EngineError('out-of-range', `skyClass is ${skyClass}; allowed: a whole number from 1 to 9.`, {
    field: 'skyClass',
    given: skyClass,
    allowed: 'a whole number from 1 to 9',
  })
}

/**
 * Class of the nine-class scale whose range of brightness holds a sky; darker than 22.0 is class 1.
 *
 * @param magPerArcsec2  V of the moonless zenith sky; 0 to 30
 * @returns 1 to 9
 * @throws {EngineError} `out-of-range`
 * @source common practice, no source
 */
export function skyClassOf(magPerArcsec2: number): number {
  requireInRange('magPerArcsec2', magPerArcsec2, 0, 30)
  return 1 + SKY_CLASSES.filter((row) => row.fromMagPerArcsec2 !== null && magPerArcsec2 < row.fromMagPerArcsec2).length
}

// Constant data, each value with its source.

import {
  BandsSchema,
  ConstantsSchema,
  LampSpectraSchema,
  LinesSchema,
  SetupsSchema,
  SkyClassesSchema,
} from '../../contract/reference.ts'
import {
  BOLTZMANN_ELECTRONVOLTS_PER_KELVIN,
  BROAD_BANDS,
  DEFAULT_LAMP_SHARES,
  DEFAULT_LINE_WIDTH_NM,
  ELEMENTARY_CHARGE_COULOMBS,
  EMISSION_LINES,
  FILTER_BAND_SOURCE,
  LAMP_NAMES,
  LAMP_SPECTRA,
  LAMP_STEPS,
  LIGHT_SPEED_METERS_PER_SECOND,
  LINE_BAND_TRANSMISSION,
  LINE_BANDS,
  PLANCK_JOULE_SECONDS,
  RAYLEIGH_PHOTONS_PER_SECOND_M2_ARCSEC2,
  SIDEREAL_DAY_SECONDS,
  SKY_CLASS_SOURCES,
  SKY_CLASSES,
  TARGET_LINES,
  vacuumAngstrom,
} from '../../engine/index.ts'
import { COMMON_PRACTICE, TYPICAL_CAMERAS, TYPICAL_FILTERS, TYPICAL_OPTICS } from '../../setup/typical.ts'
import { reference } from '../endpoint.ts'

const tag = 'Reference'

export const bands = reference({
  id: 'bands',
  path: '/v1/reference/bands',
  tag,
  summary: 'The usual filter bands',
  description: 'What `filter.band` stands for. A measured curve is better wherever a narrow filter decides.',
  answer: BandsSchema,
  content: () => ({
    source: FILTER_BAND_SOURCE,
    bands: [
      ...Object.entries(BROAD_BANDS).map(([band, passes]) => ({ band, passes: [passes], widthNm: null })),
      ...Object.entries(LINE_BANDS).map(([band, { centersNm }]) => ({
        band,
        passes: centersNm.map((centerNm) => ({
          fromNm: centerNm - DEFAULT_LINE_WIDTH_NM / 2,
          toNm: centerNm + DEFAULT_LINE_WIDTH_NM / 2,
          transmission: LINE_BAND_TRANSMISSION,
        })),
        widthNm: DEFAULT_LINE_WIDTH_NM,
      })),
    ],
  }),
})

export const lines = reference({
  id: 'lines',
  path: '/v1/reference/lines',
  tag,
  summary: 'Emission lines and the rayleigh',
  description:
    'Lines of nebulae and of the airglow. As targets, `o-iii` is 5007 alone, `n-ii` 6583 alone, `s-ii` both lines together, split equally.',
  answer: LinesSchema,
  content: () => ({
    source: EMISSION_LINES.source,
    rayleighSource: '1 R = 10¹⁰/4π photons s⁻¹ m⁻² sr⁻¹ (Leinert et al. 1998, A&AS 127, 1, section 2)',
    rayleighPhotonsPerSecondM2Arcsec2: RAYLEIGH_PHOTONS_PER_SECOND_M2_ARCSEC2,
    lines: [
      ...Object.entries(TARGET_LINES).flatMap(([line, parts]) => parts.map(({ airNm }) => lineAt(line, airNm))),
      ...EMISSION_LINES.lines.map(({ name, airAngstrom }) => lineAt(name, airAngstrom / 10)),
    ],
  }),
})

function lineAt(line: string, airNm: number) {
  return { line, airNm, vacuumNm: vacuumAngstrom(airNm * 10) / 10 }
}

export const skyClasses = reference({
  id: 'skyClasses',
  path: '/v1/reference/sky-classes',
  tag,
  summary: 'The nine classes of sky',
  description:
    'Naked-eye limits as published and the brightness that common practice ties to each class. The limits are those of a keen observer; do not turn a class into a limit and that into a brightness.',
  answer: SkyClassesSchema,
  content: () => ({
    sources: SKY_CLASS_SOURCES,
    classes: SKY_CLASSES.map(({ skyClass, ...rest }) => ({ bortleClass: skyClass, ...rest })),
  }),
})

export const lamps = reference({
  id: 'lamps',
  path: '/v1/reference/lamps',
  tag,
  summary: 'Spectra of lamps',
  description:
    'What `sky.lamps` chooses among. Outside 400 to 780 nm the nearest value is held, which is no measurement.',
  answer: LampSpectraSchema,
  content: () => ({
    source: LAMP_SPECTRA['led-4100k'].source.replace(
      /, illuminant.*/,
      ', illuminants HP1, HP3, HP5, LED-B2, LED-B3, LED-B5',
    ),
    unit: '995.5 · 10^(−0.4 m) photons s⁻¹ cm⁻² Å⁻¹ arcsec⁻² for a sky of m mag/arcsec² in V',
    lamps: LAMP_NAMES.map((lamp) => ({
      lamp,
      defaultShare: (DEFAULT_LAMP_SHARES as Partial<Record<string, number>>)[lamp] ?? 0,
      steps: [...LAMP_STEPS[lamp]],
    })),
  }),
})

export const constants = reference({
  id: 'constants',
  path: '/v1/reference/constants',
  tag,
  summary: 'Constants',
  description: 'Constants of nature and of measure that the engine counts with.',
  answer: ConstantsSchema,
  content: () => ({
    constants: [
      { name: 'Planck constant', ...PLANCK_JOULE_SECONDS },
      { name: 'speed of light in vacuum', ...LIGHT_SPEED_METERS_PER_SECOND },
      { name: 'elementary charge', ...ELEMENTARY_CHARGE_COULOMBS },
      { name: 'Boltzmann constant', ...BOLTZMANN_ELECTRONVOLTS_PER_KELVIN },
      { name: 'mean sidereal day', ...SIDEREAL_DAY_SECONDS },
    ],
  }),
})

export const setups = reference({
  id: 'setups',
  path: '/v1/reference/setups',
  tag,
  summary: 'Typical classes of camera, optics and filters',
  description:
    'What `like` fills in for a camera or optics, and what a band stands for in a filter: a typical value and its usual range for each number. No product is meant, and none has to match.',
  answer: SetupsSchema,
  content: () => ({
    source: COMMON_PRACTICE,
    cameras: Object.entries(TYPICAL_CAMERAS).map(([like, { quantumEfficiency, ...camera }]) => ({
      like,
      ...camera,
      quantumEfficiency: [...quantumEfficiency],
    })),
    optics: Object.entries(TYPICAL_OPTICS).map(([like, optics]) => ({ like, ...optics })),
    filters: Object.entries(TYPICAL_FILTERS).map(([band, filter]) => ({
      band,
      ...filter,
      centersNm: [...filter.centersNm],
    })),
  }),
})

// A camera as the request describes it, with typical values where it says `like`, made into what the engine counts with:
// pixels of the frame, after binning.

import type { z } from 'zod'
import type { CameraSchema } from '../contract/camera.ts'
import type { Plain } from '../contract/fields.ts'
import {
  binnedReadout,
  darkCurrentElectronsPerPixelSecond,
  quantizationVariance,
  usableWellElectrons,
  type NumberOrCurve,
  type ReadMode,
} from '../engine/index.ts'
import type { Notes } from './notes.ts'
import { COMMON_PRACTICE, TYPICAL_CAMERAS, type Typical, type TypicalCamera } from './typical.ts'

export type CameraRequest = Plain<z.infer<typeof CameraSchema>>

export interface CameraNeeds {
  /** Why quantum efficiency is needed; null when every rate comes in electrons. */
  photons: string | null
  /** Why the pixel's size is needed; null when no angle matters. */
  scale: string | null
}

export interface CameraSetup {
  color: 'mono' | 'bayer'
  pixelSizeUm: number | undefined
  binning: number
  binningKind: 'on-chip' | 'software'
  widthPx: number | undefined
  heightPx: number | undefined
  quantumEfficiency: NumberOrCurve
  infraredBlocker: 'none' | 'photographic' | Exclude<NumberOrCurve, number>
  modes: ReadMode[]
  electronsPerAdu: number | undefined
  offsetAdu: number | undefined
  /** Of one pixel of the frame. */
  darkElectronsPerPixelSecond: number
  temperatureCelsius: number | undefined
  /** Whether it has a cooler, and with it needs power; null where nobody said. */
  cooled: boolean | null
}

/** Resolves a camera; what is missing or contradictory goes to the notes. */
export function resolveCamera(camera: CameraRequest, needs: CameraNeeds, notes: Notes): CameraSetup {
  const like = camera.like === undefined ? undefined : TYPICAL_CAMERAS[camera.like]
  const fill = filler(camera.like, notes)
  const color =
    camera.color ??
    assumed(notes, '/camera/color', like?.color, camera.like) ??
    notes.assume('/camera/color', 'mono', 'not given')
  const binning = camera.binning ?? 1
  const binningKind = resolveBinningKind(camera, binning, like, notes)
  const numbers = {
    readNoiseElectrons: fill('readNoiseElectrons', camera.readNoiseElectrons, like?.readNoiseElectrons),
    electronsPerAdu: fill('electronsPerAdu', camera.electronsPerAdu, like?.electronsPerAdu),
    fullWellElectrons: fill('fullWellElectrons', camera.fullWellElectrons, like?.fullWellElectrons),
  }
  const bitDepth = camera.bitDepth ?? assumed(notes, '/camera/bitDepth', like?.bitDepth, camera.like)
  const offsetAdu = fill('offsetAdu', camera.offsetAdu, like?.offsetAdu)
  const modes = (camera.readModes ?? [{ label: 'as given', ...numbers }]).map((mode, index) => {
    const pointer = camera.readModes === undefined ? '/camera' : `/camera/readModes/${index}`
    const { linearLimitElectrons, readNoiseIncludesQuantization } = camera
    const whole: ModeNumbers = {
      label: mode.label,
      readNoiseElectrons: mode.readNoiseElectrons,
      electronsPerAdu: mode.electronsPerAdu,
      fullWellElectrons: mode.fullWellElectrons,
      linearLimitElectrons,
      bitDepth,
      offsetAdu,
      readNoiseIncludesQuantization,
    }
    return resolveMode(whole, pointer, binning, binningKind, notes)
  })
  return {
    color,
    pixelSizeUm:
      needs.scale === null
        ? camera.pixelSizeUm
        : (fill('pixelSizeUm', camera.pixelSizeUm, like?.pixelSizeUm) ??
          notes.missing('/camera/pixelSizeUm', needs.scale)),
    binning,
    binningKind,
    widthPx: camera.widthPx ?? like?.widthPx,
    heightPx: camera.heightPx ?? like?.heightPx,
    quantumEfficiency: resolveEfficiency(camera, like, needs, notes),
    infraredBlocker: resolveBlocker(camera, like, needs, notes),
    modes,
    electronsPerAdu: numbers.electronsPerAdu,
    offsetAdu,
    cooled: camera.cooler !== undefined || (like === undefined ? null : like.coolerReachCelsius !== null),
    ...resolveDark(camera, like, binning, notes),
  }
}

/** Fills a number from a typical class and says so. */
function filler(likeName: string | undefined, notes: Notes) {
  return (name: string, given: number | undefined, typical: Typical | undefined): number | undefined => {
    if (given !== undefined || typical === undefined || likeName === undefined) return given
    const range = `${typical.low} to ${typical.high}`
    return notes.assume(`/camera/${name}`, typical.typical, `typical of ${likeName} (${range}; ${COMMON_PRACTICE})`)
  }
}

function assumed<Value>(notes: Notes, pointer: string, value: Value | undefined, likeName: string | undefined) {
  if (value === undefined) return undefined
  return notes.assume(pointer, value, `typical of ${likeName ?? 'its class'} (${COMMON_PRACTICE})`)
}

function resolveBinningKind(
  camera: CameraRequest,
  binning: number,
  like: TypicalCamera | undefined,
  notes: Notes,
): 'on-chip' | 'software' {
  if (camera.binningKind !== undefined || binning === 1) return camera.binningKind ?? 'software'
  const kind = assumed(notes, '/camera/binningKind', like?.binningKind, camera.like)
  return kind ?? notes.assume('/camera/binningKind', 'software', 'not given: every physical pixel is read')
}

interface ModeNumbers {
  label: string
  readNoiseElectrons?: number | undefined
  electronsPerAdu?: number | undefined
  fullWellElectrons?: number | undefined
  linearLimitElectrons?: number | undefined
  bitDepth?: number | undefined
  offsetAdu?: number | undefined
  readNoiseIncludesQuantization?: boolean | undefined
}

function resolveMode(
  mode: ModeNumbers,
  pointer: string,
  binning: number,
  binningKind: 'on-chip' | 'software',
  notes: Notes,
): ReadMode {
  const { electronsPerAdu, bitDepth } = mode
  const readNoiseElectrons =
    mode.readNoiseElectrons ??
    notes.missing(`${pointer}/readNoiseElectrons`, 'every answer hangs on the read noise; give it, or `like`')
  let quantizationElectrons2 = 0
  if (mode.readNoiseIncludesQuantization === false) {
    quantizationElectrons2 =
      electronsPerAdu === undefined
        ? notes.missing(`${pointer}/electronsPerAdu`, 'needed to add the rounding that the read noise does not include')
        : quantizationVariance(electronsPerAdu)
  }
  const range = bitDepth === undefined ? Infinity : 2 ** bitDepth - 1
  const offsetAdu =
    mode.offsetAdu ??
    (bitDepth === undefined || electronsPerAdu === undefined ? 0 : notes.assume('/camera/offsetAdu', 0, 'not given'))
  if (offsetAdu >= range) {
    notes.contradictory(
      '/camera/offsetAdu',
      `${offsetAdu} ADU lies above the ${range} ADU that ${bitDepth ?? ''} bits count to`,
    )
    return { label: mode.label, readout: { readNoiseElectrons, quantizationElectrons2 }, usableWellElectrons: null }
  }
  return {
    label: mode.label,
    ...binnedReadout({
      binning,
      binningKind,
      readNoiseElectrons,
      quantizationElectrons2,
      usableWell: usableWellElectrons({
        fullWellElectrons: mode.fullWellElectrons,
        linearLimitElectrons: mode.linearLimitElectrons,
        bitDepth,
        offsetAdu,
        electronsPerAdu,
      }),
    }),
  }
}

function resolveEfficiency(
  camera: CameraRequest,
  like: TypicalCamera | undefined,
  needs: CameraNeeds,
  notes: Notes,
): NumberOrCurve {
  if (camera.quantumEfficiency !== undefined) {
    return ascending(camera.quantumEfficiency, '/camera/quantumEfficiency', notes)
  }
  if (needs.photons === null) return 1
  return (
    assumed(notes, '/camera/quantumEfficiency', like?.quantumEfficiency, camera.like) ??
    notes.missing('/camera/quantumEfficiency', needs.photons)
  )
}

function resolveBlocker(camera: CameraRequest, like: TypicalCamera | undefined, needs: CameraNeeds, notes: Notes) {
  const given = camera.infraredBlocker
  if (given !== undefined) {
    return typeof given === 'string' ? given : ascending(given, '/camera/infraredBlocker', notes)
  }
  if (needs.photons === null || like === undefined) return 'none'
  return notes.assume('/camera/infraredBlocker', like.infraredBlocker, `typical of ${camera.like ?? 'its class'}`)
}

/** Refuses a table whose wavelengths do not ascend. */
export function ascending<Curve extends NumberOrCurve>(curve: Curve, pointer: string, notes: Notes): Curve {
  if (typeof curve === 'number') return curve
  let previous = -Infinity
  for (const [index, { wavelengthNm }] of curve.entries()) {
    if (wavelengthNm <= previous) {
      notes.broken(`${pointer}/${index}/wavelengthNm`, `${wavelengthNm} nm follows ${previous} nm; wavelengths ascend`)
      return curve
    }
    previous = wavelengthNm
  }
  return curve
}

function resolveDark(
  camera: CameraRequest,
  like: TypicalCamera | undefined,
  binning: number,
  notes: Notes,
): { darkElectronsPerPixelSecond: number; temperatureCelsius: number | undefined } {
  const reference = camera.darkCurrent ?? typicalDark(camera, like, notes)
  if (reference === undefined) {
    notes.assume('/camera/darkCurrent', 0, 'not given: taken as none')
    return { darkElectronsPerPixelSecond: 0, temperatureCelsius: camera.temperatureCelsius }
  }
  const temperatureCelsius =
    camera.temperatureCelsius ??
    assumed(notes, '/camera/temperatureCelsius', like?.temperatureCelsius.typical, camera.like) ??
    notes.assume('/camera/temperatureCelsius', reference.atCelsius, 'not given: the temperature of the dark current')
  const dark = darkCurrentElectronsPerPixelSecond({
    reference,
    temperatureCelsius,
    doublingCelsius: reference.doublingCelsius,
  })
  if (dark.stretchCelsius !== 0) {
    notes.cite(
      dark.form === 'doubling'
        ? 'EMVA 1288 doubling law of dark current'
        : 'Janesick 2001 and Varshni 1967: depletion dark current of silicon, normalised at the reference',
    )
  }
  return { darkElectronsPerPixelSecond: dark.electronsPerPixelSecond * binning ** 2, temperatureCelsius }
}

function typicalDark(camera: CameraRequest, like: TypicalCamera | undefined, notes: Notes) {
  if (like === undefined) return undefined
  const { typical, low, high } = like.darkCurrentElectronsPerPixelSecond
  const reference = {
    electronsPerPixelSecond: typical,
    atCelsius: like.darkCurrentAtCelsius,
    doublingCelsius: undefined,
  }
  notes.assume(
    '/camera/darkCurrent',
    { electronsPerPixelSecond: typical, atCelsius: like.darkCurrentAtCelsius },
    `typical of ${camera.like ?? 'its class'} (${low} to ${high}; ${COMMON_PRACTICE})`,
  )
  return reference
}

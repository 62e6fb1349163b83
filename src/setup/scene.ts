// From a request to electrons: camera, optics, filter, sky and target become rates on a pixel of the frame, one set for
// each colour plane, and one plane that the advice goes by.

import type { z } from 'zod'
import type { CameraSchema } from '../contract/camera.ts'
import type { Plain } from '../contract/fields.ts'
import type { FilterSchema, OpticsSchema } from '../contract/optics.ts'
import type { SkySchema, TargetSchema } from '../contract/sky.ts'
import {
  channelsOf,
  collectingAreaM2,
  kastenYoungAirmass,
  lineElectrons,
  pixelScaleArcsec,
  skyElectrons,
  starElectrons,
  surfaceElectrons,
  type Channel,
  type PixelRates,
  type Response,
} from '../engine/index.ts'
import { resolveCamera, type CameraSetup } from './camera.ts'
import type { Notes } from './notes.ts'
import { resolveFilter, resolveOptics, type OpticsSetup } from './optics.ts'
import { resolveSky, skyNeedsPhotons, type SkySetup } from './sky.ts'

export interface SceneRequest {
  camera: Plain<z.infer<typeof CameraSchema>>
  optics?: Plain<z.infer<typeof OpticsSchema>> | undefined
  filter?: Plain<z.infer<typeof FilterSchema>> | undefined
  sky: Plain<z.infer<typeof SkySchema>>
  target?: Plain<z.infer<typeof TargetSchema>> | undefined
}

export type TargetRequest = Plain<z.infer<typeof TargetSchema>>

/** What a question wants to know beside the rates themselves. */
export interface SceneNeeds {
  /** Why angles on the sky matter to this question; null when they don't. */
  scale: string | null
  /** V magnitude of the brightest star to keep unclipped. */
  unclippedStarMag: number | undefined
  /** Why this question wants to know how the set-up sees colours, even where every rate is in electrons. */
  photons?: string | null
}

export interface Plane {
  channel: Channel['channel']
  samplingFraction: number
  /** How the plane sees wavelengths; null where every rate was given in electrons. */
  response: Response | null
  rates: PixelRates
  /** All electrons of the target's star per second; null without one. */
  starElectronsPerSecond: number | null
  /** All electrons of the star to keep unclipped; null without one. */
  unclippedStarElectronsPerSecond: number | null
}

export interface Scene {
  camera: CameraSetup
  optics: OpticsSetup | null
  sky: SkySetup
  pixelScaleArcsec: number | null
  /** Collecting area times the sky on a pixel, m² arcsec²; null where either is unknown. */
  grasp: number | null
  planes: Plane[]
  /** The plane the advice goes by: of those that see the target, the one with the least signal for its noise. */
  plane: Plane
}

/** Resolves a request into rates. Throws a ProblemError that names every field in the way. */
export function resolveScene(request: SceneRequest, needs: SceneNeeds, notes: Notes): Scene {
  const photons = needs.photons ?? photonReason(request, needs)
  const scale = photons ?? needs.scale ?? scaleAtHand(request)
  const camera = resolveCamera(request.camera, { photons, scale }, notes)
  const optics = resolveOptics(request.optics, { photons, scale }, notes)
  const sky = resolveSky(request.sky, camera, photons !== null, notes)
  checkTarget(request.target, notes)
  const filter = resolveFilter(request.filter, photons !== null, notes)
  notes.settle()
  const { binning, pixelSizeUm } = camera
  const scaleArcsec =
    optics === null || pixelSizeUm === undefined
      ? null
      : pixelScaleArcsec({ pixelSizeUm, binning, focalLengthMm: optics.focalLengthMm })
  const channels: readonly SomeChannel[] =
    photons === null || optics === null
      ? [measuredChannel(camera.color, request.filter, notes)]
      : channelsOf({
          color: camera.color,
          quantumEfficiency: camera.quantumEfficiency,
          opticsTransmission: optics.transmission,
          filter,
          infraredBlocker: camera.infraredBlocker,
        })
  const areaM2 = photons === null || optics === null ? NaN : collectingAreaM2(optics)
  const planes = channels.map((channel) =>
    planeOf(channel, { request, needs, camera, sky, areaM2, pixelArcsec2: (scaleArcsec ?? NaN) ** 2 }),
  )
  if (photons !== null) citePhotons(sky, notes)
  const grasp = scaleArcsec === null || Number.isNaN(areaM2) ? null : areaM2 * scaleArcsec ** 2
  return { camera, optics, sky, pixelScaleArcsec: scaleArcsec, grasp, planes, plane: governingPlane(planes, camera) }
}

function photonReason({ sky, target }: SceneRequest, needs: SceneNeeds): string | null {
  if (skyNeedsPhotons(sky)) return 'needed to turn the brightness of the sky into electrons'
  if (target?.surfaceMagPerArcsec2 !== undefined || target?.line !== undefined || target?.starMag !== undefined) {
    return 'needed to turn the brightness of the target into electrons'
  }
  return needs.unclippedStarMag === undefined ? null : 'needed to turn the star that must not clip into electrons'
}

/** Where nothing needs an angle but pixel and focal length are given, the scale is told all the same. */
function scaleAtHand({ camera, optics }: SceneRequest): string | null {
  const pixel = camera.pixelSizeUm ?? camera.like
  const focalLength = optics?.focalLengthMm ?? optics?.like
  return pixel === undefined || focalLength === undefined ? null : 'needed for the scale of the image'
}

function checkTarget(target: TargetRequest | undefined, notes: Notes): void {
  if (target === undefined) return
  const extended = (['surfaceMagPerArcsec2', 'line', 'electronsPerPixelSecond'] as const).filter(
    (form) => target[form] !== undefined,
  )
  if (extended.length > 1) {
    for (const form of extended) {
      notes.broken(
        `/target/${form}`,
        `${extended.length} extended targets at once; give only one of ${extended.join(', ')}`,
      )
    }
  }
  if (target.line !== undefined && target.rayleighs === undefined) {
    notes.missing('/target/rayleighs', 'how bright the line is')
  }
  if (target.rayleighs !== undefined && target.line === undefined) {
    notes.missing('/target/line', 'which line the rayleighs are in')
  }
  if (target.starMag !== undefined && target.starElectronsPerSecond !== undefined) {
    for (const form of ['starMag', 'starElectronsPerSecond']) {
      notes.broken(`/target/${form}`, 'two stars at once; give only one of starMag, starElectronsPerSecond')
    }
  }
  if (extended.length === 0 && target.rayleighs === undefined && !hasStar(target)) {
    notes.missing('/target', 'give an extended part, a star, or both')
  }
}

/** True when the target has a star. */
export function hasStar(target: TargetRequest | undefined): boolean {
  return target?.starMag !== undefined || target?.starElectronsPerSecond !== undefined
}

/** True when the target has an extended part. */
export function hasExtended(target: TargetRequest | undefined): boolean {
  return (
    target?.surfaceMagPerArcsec2 !== undefined ||
    target?.line !== undefined ||
    target?.electronsPerPixelSecond !== undefined
  )
}

/** A channel whose response may be unknown, because its rates were measured. */
type SomeChannel = Omit<Channel, 'response'> & { response: Response | null }

/** Rates that were measured belong to one plane; which one of a mosaic, the filter tells. */
function measuredChannel(color: 'mono' | 'bayer', filter: SceneRequest['filter'], notes: Notes): SomeChannel {
  if (color === 'mono') return { channel: 'mono', samplingFraction: 1, response: null }
  const band = filter !== undefined && 'band' in filter ? filter.band : undefined
  if (band === 'h-alpha' || band === 's-ii' || band === 'red') {
    return { channel: 'red', samplingFraction: 0.25, response: null }
  }
  if (band === 'blue' || band === 'h-beta') return { channel: 'blue', samplingFraction: 0.25, response: null }
  notes.assume('/filter', { band: 'green' }, 'rates given in electrons are taken to be those of the green pixels')
  return { channel: 'green', samplingFraction: 0.5, response: null }
}

interface PlaneInput {
  request: SceneRequest
  needs: SceneNeeds
  camera: CameraSetup
  sky: SkySetup
  areaM2: number
  pixelArcsec2: number
}

function planeOf(channel: SomeChannel, input: PlaneInput): Plane {
  const { request, needs, camera, sky, areaM2, pixelArcsec2 } = input
  const { target } = request
  const { response } = channel
  const { extinctionMagPerAirmass, targetAltitudeDegrees } = sky.model
  const airmass = kastenYoungAirmass(90 - targetAltitudeDegrees)
  const star = (magnitude: number | undefined) =>
    magnitude === undefined || response === null
      ? null
      : starElectrons({ response, extinctionMagPerAirmass, airmass, magnitude }) * areaM2
  return {
    channel: channel.channel,
    samplingFraction: channel.samplingFraction,
    response,
    rates: {
      targetElectronsPerPixelSecond:
        target?.electronsPerPixelSecond ??
        (response === null
          ? 0
          : extendedElectrons(target, { response, extinctionMagPerAirmass, airmass }) * areaM2 * pixelArcsec2),
      skyElectronsPerPixelSecond: skyRate(sky, response, areaM2 * pixelArcsec2),
      darkElectronsPerPixelSecond: camera.darkElectronsPerPixelSecond,
    },
    starElectronsPerSecond: target?.starElectronsPerSecond ?? star(target?.starMag),
    unclippedStarElectronsPerSecond: star(needs.unclippedStarMag),
  }
}

function skyRate(sky: SkySetup, response: Response | null, grasp: number): number {
  if (sky.form === 'electrons') return sky.electronsPerPixelSecond
  if (response === null) return 0
  const { natural, artificial, moon } = skyElectrons({ response, sky: sky.model })
  return (natural + artificial + moon) * grasp
}

/** Electrons per second, m² and arcsec² of an extended target given by its brightness; 0 without one. */
function extendedElectrons(
  target: TargetRequest | undefined,
  path: { response: Response; extinctionMagPerAirmass: number; airmass: number },
): number {
  const { response, extinctionMagPerAirmass, airmass } = path
  if (target?.surfaceMagPerArcsec2 !== undefined) {
    return surfaceElectrons({ response, extinctionMagPerAirmass, airmass, magPerArcsec2: target.surfaceMagPerArcsec2 })
  }
  if (target?.line !== undefined && target.rayleighs !== undefined) {
    return lineElectrons({ response, extinctionMagPerAirmass, airmass, line: target.line, rayleighs: target.rayleighs })
  }
  return 0
}

/** Electrons per second of the target: on a pixel of its extended part, and all of its star. */
const targetLight = ({ rates, starElectronsPerSecond }: Plane) =>
  rates.targetElectronsPerPixelSecond + (starElectronsPerSecond ?? 0)

/** Whether there is a target, and some plane that gets light of it. */
export function showsTarget(planes: readonly Plane[]): boolean {
  return planes.some((plane) => targetLight(plane) > 0)
}

/** A plane that gets less than this share of the best plane's light sees leakage, not the target. */
const SEES_SHARE = 0.25

/** The planes that see the target or, where there is none, the sky. */
export function seeingPlanes(planes: readonly Plane[]): Plane[] {
  const light = lightOf(planes)
  const most = Math.max(...planes.map(light))
  return planes.filter((plane) => light(plane) >= SEES_SHARE * most)
}

const lightOf = (planes: readonly Plane[]) =>
  showsTarget(planes) ? targetLight : ({ rates }: Plane) => rates.skyElectronsPerPixelSecond

function governingPlane(planes: readonly Plane[], camera: CameraSetup): Plane {
  const light = lightOf(planes)
  // Which plane is weakest hardly depends on the length of the sub; a minute stands for all.
  const read = camera.modes[0]?.readout.readNoiseElectrons ?? 0
  const merit = (plane: Plane) => {
    const { skyElectronsPerPixelSecond: sky, darkElectronsPerPixelSecond: dark } = plane.rates
    return (light(plane) * Math.sqrt(plane.samplingFraction)) / Math.sqrt(light(plane) + sky + dark + read ** 2 / 60)
  }
  return seeingPlanes(planes).reduce((weakest, plane) => (merit(plane) < merit(weakest) ? plane : weakest))
}

function citePhotons(sky: SkySetup, notes: Notes): void {
  notes.cite(
    'Bessell, Castelli & Plez 1998, A&A 333, 231: zero points',
    'Kasten & Young 1989, Appl. Opt. 28, 4735: airmass',
    'Green 1992, ICQ 14, 55, and Hayes & Latham 1975, ApJ 197, 593: extinction',
  )
  if (sky.form !== 'brightness') return
  notes.cite(
    'Roach & Gordon 1973; Benn & Ellison 1998, La Palma Technical Note 115: natural sky',
    'CIE 015:2018: spectra of lamps',
    'Patat 2003, A&A 400, 1183: sky brightness and zenith distance',
  )
  if (sky.model.moon !== undefined) notes.cite('Krisciunas & Schaefer 1991, PASP 103, 1033: moonlight')
}

import {
  PhotonTransferAnswerSchema,
  photonTransferExamples,
  PhotonTransferRequestSchema,
  type PhotonTransferAnswer,
} from '../../contract/photon-transfer.ts'
import { inquire } from '../../setup/inquiry.ts'
import type { Notes } from '../../setup/notes.ts'
import { question } from '../endpoint.ts'
import { cameraOf } from './camera.ts'
import { explain } from './explain.ts'
import { formOf } from './form.ts'
import type { Request } from './request.ts'
import { solve, type ModeResult, type Solution } from './solve.ts'

export const photonTransfer = question({
  id: 'photonTransfer',
  path: '/v1/photon-transfer',
  tag: 'Detector',
  summary: 'What are my camera’s gain, read noise and full well?',
  description:
    'From the statistics of pairs of flats and darks: gain, read noise, full well, dynamic range, linearity, DSNU, PRNU and dark current after EMVA 1288 Release 4.0 Linear, each with its standard uncertainty, for one read mode or several side by side. The `camera` in the answer can be sent to every other question as it is. Take unbinned, uncalibrated frames of one colour plane.',
  request: PhotonTransferRequestSchema,
  answer: PhotonTransferAnswerSchema,
  examples: photonTransferExamples,
  bodyLimitBytes: 262144,
  // Statistics come without uncertainties, so there is nothing to vary; each figure carries its own.
  handle: answer,
  form: formOf(answer),
})

function answer(request: Request): PhotonTransferAnswer {
  return inquire(request, { solve, quantities: () => ({}), encode })
}

function encode(solution: Solution, notes: Notes, request: Request) {
  explain(solution, request, notes)
  const camera = cameraOf(solution, request, notes)
  return {
    ...figuresOf(solution.first),
    readModes: solution.modes.map((mode) => ({ label: mode.label, ...figuresOf(mode) })),
    camera,
  }
}

function figuresOf(mode: ModeResult) {
  const { gain, saturation, linearity, uniformity, response } = mode
  return {
    electronsPerAdu: mode.electronsPerAdu,
    gain: {
      throughOrigin: gain.throughOrigin,
      withIntercept: gain.withIntercept,
      levelsUsed: mode.levelsInGain,
      uncertaintyFrom: gain.uncertaintyFrom,
    },
    readNoiseElectrons: mode.readNoiseWithQuantizationElectrons,
    readNoiseWithoutQuantizationElectrons: mode.readNoiseElectrons,
    readNoiseBelowElectrons: mode.readNoiseBelowElectrons,
    sensitivityThresholdElectrons: mode.sensitivityThresholdElectrons,
    offsetAdu: mode.offsetAdu,
    fullWellElectrons: saturation?.fullWellElectrons ?? null,
    saturation: saturation && {
      signalAdu: saturation.signalAdu,
      meanAdu: saturation.meanAdu,
      method: saturation.method,
      maximumSnr: saturation.maximumSnr,
    },
    dynamicRange: saturation && {
      ratio: saturation.dynamicRange,
      decibels: saturation.dynamicRangeDecibels,
      stops: saturation.dynamicRangeBits,
    },
    linearity: linearity && {
      errorShare: { value: linearity.errorShare, standardUncertainty: linearity.standardUncertainty },
      minimumShare: linearity.minimumShare,
      maximumShare: linearity.maximumShare,
      noiseFloorShare: linearity.noiseFloorShare,
    },
    darkNonUniformityElectrons: uniformity?.darkNonUniformityElectrons ?? null,
    photoResponseNonUniformityShare: uniformity?.photoResponseNonUniformityShare ?? null,
    quantumEfficiency: response?.quantumEfficiency ?? null,
    darkCurrent: mode.darkCurrent,
  }
}

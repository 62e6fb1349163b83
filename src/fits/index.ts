// Reading FITS pictures: the door of this folder.

export type { BayerPattern } from './bayer.ts'
export { readFitsBody } from './body.ts'
export type { DataSink, ReadLimits } from './body.ts'
export { FITS_ERRORS, FitsError } from './errors.ts'
export { isSameExposure } from './exposure.ts'
export type { FitsErrorCode, FitsErrorDetails, FitsErrorKind } from './errors.ts'
export { inflateGzip } from './gzip.ts'
export { dataBytes, sampleBytes } from './image.ts'
export type { BitsPerSample, CameraHints, FitsImage, SampleScale } from './image.ts'
export * from './pixels.ts'

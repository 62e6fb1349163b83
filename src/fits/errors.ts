// Every refusal of a FITS body, in one table, sorted by what the sender can do about it.

/**
 * - `unreadable`: the bytes break the standard or end too early;
 * - `unsupported`: a FITS file, but not one picture of a kind that is measured here;
 * - `too-large`: more bytes than are accepted.
 */
export type FitsErrorKind = 'unreadable' | 'unsupported' | 'too-large'

/** The codes a {@link FitsError} can carry, each with its kind and what it means. */
export const FITS_ERRORS = {
  'not-fits': { kind: 'unreadable', meaning: 'The body does not begin with the card "SIMPLE  =".' },
  'header-truncated': { kind: 'unreadable', meaning: 'The body ends before the END card and its block are complete.' },
  'header-too-long': { kind: 'unreadable', meaning: 'No END card within the number of header blocks that are read.' },
  'keyword-missing': { kind: 'unreadable', meaning: 'A mandatory keyword is absent, or not at its mandatory place.' },
  'keyword-repeated': {
    kind: 'unreadable',
    meaning: 'A keyword that decides how the data are read has two different values.',
  },
  'value-unreadable': {
    kind: 'unreadable',
    meaning: 'The value of a keyword that decides how the data are read is not of its type.',
  },
  'value-not-allowed': { kind: 'unreadable', meaning: 'The value of a keyword lies outside what the standard allows.' },
  'data-truncated': { kind: 'unreadable', meaning: 'The body holds fewer data bytes than its header declares.' },
  'data-trailing': {
    kind: 'unreadable',
    meaning: 'After the declared data come bytes that are neither padding nor an extension.',
  },
  'gzip-unreadable': { kind: 'unreadable', meaning: 'The body is announced as gzip, but does not inflate.' },
  'not-standard': { kind: 'unsupported', meaning: 'SIMPLE is F: the file says that it departs from the standard.' },
  'no-image': { kind: 'unsupported', meaning: 'The file holds no picture in its primary part.' },
  'image-in-extension': { kind: 'unsupported', meaning: 'The picture sits in an extension; only the primary is read.' },
  'tile-compressed': { kind: 'unsupported', meaning: 'The picture is tile-compressed in a binary table.' },
  'random-groups': { kind: 'unsupported', meaning: 'The data are random groups, not a picture.' },
  'zero-size': { kind: 'unsupported', meaning: 'An axis of the picture has no pixels.' },
  'axes-unsupported': {
    kind: 'unsupported',
    meaning: 'The picture has not two axes, nor three with one or three planes.',
  },
  'scale-unsupported': {
    kind: 'unsupported',
    meaning: 'BSCALE is not positive, or BSCALE or BZERO is beyond any use.',
  },
  'bayer-pattern-on-planes': {
    kind: 'unsupported',
    meaning: 'A Bayer pattern was asked for, but the picture has separate colour planes.',
  },
  'no-valid-pixels': { kind: 'unsupported', meaning: 'Every pixel of a plane is blank, NaN or infinite.' },
  'body-too-large': { kind: 'too-large', meaning: 'The body, or what its header declares, is above the limit.' },
} as const satisfies Record<string, { kind: FitsErrorKind; meaning: string }>

export type FitsErrorCode = keyof typeof FITS_ERRORS

export interface FitsErrorDetails {
  /** Keyword of the card at fault. */
  card?: string
  given?: number | string
  allowed?: string
  /** Numbers that explain the refusal, such as declared and received bytes. */
  facts?: Record<string, number>
}

/** “128 MiB (134217728 bytes)”. */
export function spokenBytes(bytes: number): string {
  const mebibytes = bytes / 2 ** 20
  return Number.isInteger(mebibytes) ? `${mebibytes} MiB (${bytes} bytes)` : `${bytes} bytes`
}

/** A body that cannot be measured, with the reason in words and as a stable code. */
export class FitsError extends Error {
  override readonly name = 'FitsError'
  readonly code: FitsErrorCode
  readonly kind: FitsErrorKind
  readonly details: FitsErrorDetails

  constructor(code: FitsErrorCode, message: string, details: FitsErrorDetails = {}) {
    super(message)
    this.code = code
    this.kind = FITS_ERRORS[code].kind
    this.details = details
  }
}

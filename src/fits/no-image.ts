// Files whose primary part is empty.

import { FitsError } from './errors.ts'
import type { FitsHeader } from './header.ts'

/**
 * Why a file whose primary part is empty is refused.
 *
 * @param extension  header of what follows the primary part, as far as it came
 * @source FITS Standard 4.0 (IAU FITS Working Group 2018), sections 7.1, 7.3 and 10.1
 */
export function noImageError(extension: FitsHeader): FitsError {
  const kind = extension.keywordAt(0) === 'XTENSION' ? extension.values('XTENSION')[0] : undefined
  const name = kind?.type === 'string' ? kind.value : ''
  const details = { card: 'NAXIS', given: 0, allowed: 'a picture in the primary part, NAXIS 2 or 3' }
  if (name === 'BINTABLE' && extension.isTrue('ZIMAGE')) {
    return new FitsError('tile-compressed', 'The picture is tile-compressed; send it uncompressed.', {
      ...details,
      card: 'ZIMAGE',
      given: 'T',
    })
  }
  if (name === 'IMAGE') {
    return new FitsError(
      'image-in-extension',
      'NAXIS is 0 and an IMAGE extension follows; only the primary is read.',
      details,
    )
  }
  return new FitsError('no-image', 'NAXIS is 0: the primary part holds no picture.', details)
}

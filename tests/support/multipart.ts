// A form with files, as RFC 7578 has it.

const BOUNDARY = 'frames-of-the-heron-ridge-club'

export const FORM_TYPE = `multipart/form-data; boundary=${BOUNDARY}`

export type Part = [name: string, value: string] | [name: string, file: Buffer, filename: string]

export function formOf(parts: readonly Part[]): Buffer {
  const pieces = parts.flatMap(([name, value, filename]) => {
    const file = filename === undefined ? '' : `; filename="${filename}"\r\nContent-Type: application/fits`
    const head = `--${BOUNDARY}\r\nContent-Disposition: form-data; name="${name}"${file}\r\n\r\n`
    return [Buffer.from(head), Buffer.from(value), Buffer.from('\r\n')]
  })
  return Buffer.concat([...pieces, Buffer.from(`--${BOUNDARY}--\r\n`)])
}

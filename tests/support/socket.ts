// Raw HTTP over a socket, for what no HTTP client would send.

import { connect, type AddressInfo } from 'node:net'
import type { FastifyInstance } from 'fastify'

export interface RawResponse {
  status: number
  headers: Record<string, string>
  body: string
}

/** Listens on a free port of the loopback address. */
export async function listen(app: FastifyInstance): Promise<number> {
  await app.listen({ host: '127.0.0.1', port: 0 })
  return (app.server.address() as AddressInfo).port
}

/** Sends the parts one after the other and returns everything that comes back until the server closes. */
export function exchange(port: number, ...parts: (string | Buffer)[]): Promise<string> {
  return new Promise((resolve, reject) => {
    let received = ''
    const socket = connect(port, '127.0.0.1', () => {
      for (const part of parts) socket.write(part)
    })
    socket.setEncoding('utf8')
    socket.on('data', (chunk) => {
      received += String(chunk)
    })
    socket.on('error', (error: NodeJS.ErrnoException) => {
      // The server may close while a request that is too large is still being sent.
      if (error.code === 'ECONNRESET' || error.code === 'EPIPE') resolve(received)
      else reject(error)
    })
    socket.on('close', () => {
      resolve(received)
    })
  })
}

/** The first response in what came back. */
export function parseResponse(received: string): RawResponse {
  const [head = '', body = ''] = received.split('\r\n\r\n', 2)
  const [statusLine = '', ...fields] = head.split('\r\n')
  const headers = fields.map((field): [string, string] => {
    const colon = field.indexOf(':')
    return [field.slice(0, colon).toLowerCase(), field.slice(colon + 1).trim()]
  })
  return { status: Number(statusLine.split(' ')[1]), headers: Object.fromEntries(headers), body }
}

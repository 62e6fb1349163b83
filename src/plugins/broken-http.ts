// What arrives and is no HTTP request at all never reaches a route. It is answered on the socket, then the socket is
// closed, since nobody can tell where a next request would begin.

import { STATUS_CODES } from 'node:http'
import type { Socket } from 'node:net'
import { problem, type ProblemKind } from '../contract/problem.ts'

/** Bytes that the request line and the header fields may have together. */
export const MOST_HEADER_BYTES = 16384

interface ParserError {
  code: string
  /** The bytes in which the fault was found. */
  rawPacket?: unknown
}

const tooLong = `The request line and the header fields may have ${MOST_HEADER_BYTES} bytes together; ask long questions by POST.`

function kindOf({ code, rawPacket }: ParserError): readonly [ProblemKind, string] {
  switch (code) {
    case 'ERR_HTTP_REQUEST_TIMEOUT':
      return ['request-timeout', 'The request was not complete in time.']
    case 'HPE_HEADER_OVERFLOW':
      return [isRequestLine(rawPacket) ? 'link-too-long' : 'headers-too-large', tooLong]
    default:
      return ['unreadable-request', 'This is not a well-formed HTTP/1.1 request.']
  }
}

/** Whether the bytes that were too many are those of the request line. */
function isRequestLine(packet: unknown): boolean {
  if (!Buffer.isBuffer(packet)) return false
  const lineEnd = packet.indexOf('\r\n')
  return lineEnd === -1 || lineEnd > MOST_HEADER_BYTES / 2
}

function responseBytes(kind: ProblemKind, detail: string): string {
  const document = problem(kind, detail)
  const body = JSON.stringify(document)
  return [
    `HTTP/1.1 ${document.status} ${STATUS_CODES[document.status] ?? ''}`,
    'Content-Type: application/problem+json; charset=utf-8',
    `Content-Length: ${Buffer.byteLength(body)}`,
    'Cache-Control: no-store',
    'Connection: close',
    '',
    body,
  ].join('\r\n')
}

const patient = new WeakSet<Socket>()

/**
 * Lets the present request on a connection take longer than the server's `requestTimeout`; its route limits it itself.
 *
 * @returns ends the exception
 */
export function letRequestTakeLong(socket: Socket): () => void {
  patient.add(socket)
  return () => patient.delete(socket)
}

/** How long a client may take over reading why its connection ends. */
const LINGER_MILLISECONDS = 1_000

/** Handler of the server's `clientError` event. */
export function answerBrokenHttp(error: ParserError, socket: Socket): void {
  // Told once for a request; the connection lives on when nobody ends it.
  if (error.code === 'ERR_HTTP_REQUEST_TIMEOUT' && patient.has(socket)) return
  if (error.code === 'ECONNRESET' || !socket.writable) {
    socket.destroy()
    return
  }
  // Who goes on sending after the end is not waited for: half a connection would hold its place.
  socket.end(responseBytes(...kindOf(error)), () => {
    setTimeout(() => {
      socket.destroy()
    }, LINGER_MILLISECONDS).unref()
  })
}

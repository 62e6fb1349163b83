// The clock of uploads. The server gives a whole request ten seconds, far too little for a large frame on a slow line; an
// upload is let go on as long as it comes along, and cut off when it stalls or trickles, so that nobody can hold a place
// for nothing.

import type { IncomingMessage } from 'node:http'
import { Socket } from 'node:net'
import type { FastifyReply, FastifyRequest } from 'fastify'
import { answerBrokenHttp, letRequestTakeLong } from './broken-http.ts'

/** How slowly an upload may come. */
export interface UploadPace {
  /** An upload that brings nothing for so long has stalled; the mean rate counts from here on. */
  silenceMilliseconds: number
  bytesPerSecond: number
  /** However well it comes along. */
  longestMilliseconds: number
  checkMilliseconds: number
}

/** At this rate a frame of 128 MiB takes 17 minutes. */
export const UPLOAD_PACE: UploadPace = {
  silenceMilliseconds: 10_000,
  bytesPerSecond: 131_072,
  longestMilliseconds: 3_600_000,
  checkMilliseconds: 1_000,
}

/**
 * Watches an upload until its body has come or its connection is gone.
 *
 * @param mostBytes  bytes after which even what is only thrown away is too much
 * @param cutOff  ends the connection of an upload that is too slow or too long
 */
function watchUpload(
  request: IncomingMessage,
  pace: UploadPace,
  mostBytes: number,
  cutOff: (socket: Socket) => void,
): void {
  const { socket } = request
  // Without a connection, as in a test, there is nothing to be slow.
  if (!(socket instanceof Socket)) return
  const progress = new Progress(socket.bytesRead, pace)
  const hurryAgain = letRequestTakeLong(socket)
  const timer = setInterval(() => {
    if (progress.isGoingOn(socket.bytesRead) && progress.bytes <= mostBytes) return
    end()
    cutOff(socket)
  }, pace.checkMilliseconds).unref()
  const end = (): void => {
    clearInterval(timer)
    hurryAgain()
  }
  request.once('end', end).once('close', end)
}

/** Hook that puts an upload under its own clock. What is too slow is answered 408, or just ended if it has its answer already. */
export function watching(maximumBytes: number, pace: UploadPace = UPLOAD_PACE) {
  return (request: FastifyRequest, reply: FastifyReply, next: () => void): void => {
    watchUpload(request.raw, pace, 2 * maximumBytes, (socket) => {
      if (reply.raw.headersSent) socket.destroy()
      else answerBrokenHttp({ code: 'ERR_HTTP_REQUEST_TIMEOUT' }, socket)
    })
    next()
  }
}

class Progress {
  bytes = 0
  private readonly pace: UploadPace
  private readonly firstByte: number
  private readonly startedAt = performance.now()
  private movedAt = this.startedAt

  constructor(firstByte: number, pace: UploadPace) {
    this.firstByte = firstByte
    this.pace = pace
  }

  isGoingOn(bytesRead: number): boolean {
    const now = performance.now()
    const bytes = bytesRead - this.firstByte
    if (bytes > this.bytes) this.movedAt = now
    this.bytes = bytes
    const { silenceMilliseconds, bytesPerSecond, longestMilliseconds } = this.pace
    if (now - this.startedAt > longestMilliseconds) return false
    const counted = now - this.startedAt - silenceMilliseconds
    return now - this.movedAt <= silenceMilliseconds && bytes >= (counted / 1000) * bytesPerSecond
  }
}

// So many requests a minute for one client, counted in one shared window that begins anew every minute. A client is an
// address, or with IPv6 a network of 64 bits, which is what one household gets.

import type { FastifyInstance } from 'fastify'
import fastifyPlugin from 'fastify-plugin'
import { ProblemError } from '../contract/problem.ts'
import './route-config.ts'

/** What clients on this very host may ask in a minute. */
export const LOOPBACK_LIMIT_PER_MINUTE = 1_000_000

const windowMilliseconds = 60_000

export interface RateLimitOptions {
  perMinute: number
  /** The time, in milliseconds; for tests. */
  now?: () => number
}

/** Eight groups of an IPv6 address whose `::` is spelled out. */
function groupsOf(address: string): string[] {
  const [before = '', after] = address.split('::')
  const head = before.split(':').filter((group) => group !== '')
  const tail = (after ?? '').split(':').filter((group) => group !== '')
  return [...head, ...Array<string>(Math.max(0, 8 - head.length - tail.length)).fill('0'), ...tail]
}

/** What stands for a client in the count. */
export function clientOf(address: string): string {
  if (!address.includes(':')) return address
  const mapped = /^::ffff:(\d+\.\d+\.\d+\.\d+)$/i.exec(address)?.[1]
  if (mapped !== undefined) return mapped
  if (address === '::1') return address
  return `${groupsOf(address).slice(0, 4).join(':')}::/64`
}

const isLoopback = (client: string) => client.startsWith('127.') || client === '::1'

export const rateLimit = fastifyPlugin(
  (app: FastifyInstance, { perMinute, now = Date.now }: RateLimitOptions, done: () => void) => {
    const counts = new Map<string, number>()
    let windowEnd = 0

    app.addHook('onRequest', (request, reply, next) => {
      if (request.routeOptions.config.unlimited === true) {
        next()
        return
      }
      const time = now()
      if (time >= windowEnd) {
        counts.clear()
        windowEnd = time + windowMilliseconds
      }
      const client = clientOf(request.ip)
      const limit = isLoopback(client) ? LOOPBACK_LIMIT_PER_MINUTE : perMinute
      const count = (counts.get(client) ?? 0) + 1
      counts.set(client, count)
      const reset = Math.ceil((windowEnd - time) / 1000)
      void reply
        .header('ratelimit-limit', limit)
        .header('ratelimit-remaining', Math.max(0, limit - count))
        .header('ratelimit-reset', reset)
      if (count <= limit) {
        next()
        return
      }
      void reply.header('retry-after', reset)
      next(new ProblemError('too-many-requests', `${limit} requests a minute are allowed; wait ${reset} seconds.`))
    })
    done()
  },
  { name: 'rate-limit', fastify: '5.x' },
)

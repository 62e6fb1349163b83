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

/** What is left to a client in the present minute. */
export interface Allowance {
  limit: number
  /** Requests left; below zero when the client asked for more. */
  remaining: number
  resetSeconds: number
}

declare module 'fastify' {
  interface FastifyInstance {
    /** Counts requests against the client at an address, beyond the one that is counted as it arrives. */
    chargeClient: (address: string, requests: number) => Allowance
  }
}

/** The refusal of a client that has nothing left. */
export const tooManyRequests = ({ limit, resetSeconds }: Allowance) =>
  new ProblemError('too-many-requests', `${limit} requests a minute are allowed; wait ${resetSeconds} seconds.`)

export const rateLimit = fastifyPlugin(
  (app: FastifyInstance, { perMinute, now = Date.now }: RateLimitOptions, done: () => void) => {
    const counts = new Map<string, number>()
    let windowEnd = 0

    const charge = (address: string, requests: number): Allowance => {
      const time = now()
      if (time >= windowEnd) {
        counts.clear()
        windowEnd = time + windowMilliseconds
      }
      const client = clientOf(address)
      const limit = isLoopback(client) ? LOOPBACK_LIMIT_PER_MINUTE : perMinute
      const count = (counts.get(client) ?? 0) + requests
      counts.set(client, count)
      return { limit, remaining: limit - count, resetSeconds: Math.ceil((windowEnd - time) / 1000) }
    }
    app.decorate('chargeClient', charge)

    app.addHook('onRequest', (request, reply, next) => {
      if (request.routeOptions.config.unlimited === true) {
        next()
        return
      }
      const allowance = charge(request.ip, 1)
      void reply
        .header('ratelimit-limit', allowance.limit)
        .header('ratelimit-remaining', Math.max(0, allowance.remaining))
        .header('ratelimit-reset', allowance.resetSeconds)
      if (allowance.remaining >= 0) {
        next()
        return
      }
      void reply.header('retry-after', allowance.resetSeconds)
      next(tooManyRequests(allowance))
    })
    done()
  },
  { name: 'rate-limit', fastify: '5.x' },
)

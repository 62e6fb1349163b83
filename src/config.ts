// The environment, read once at the start into typed, frozen settings. A bad value stops the start with a clear line.

import { isIP } from 'node:net'
import { z } from 'zod'

/** Thrown when the environment cannot be used; the message is one line for whoever starts the service. */
export class ConfigError extends Error {
  override readonly name = 'ConfigError'
}

const wholeNumber = (minimum: number, maximum: number) => {
  const allowed = `a whole number from ${minimum} to ${maximum}`
  return z
    .string()
    .regex(/^\d{1,10}$/, allowed)
    .transform(Number)
    .pipe(z.number().min(minimum, allowed).max(maximum, allowed))
}

const list = (text: string) =>
  text
    .split(',')
    .map((item) => item.trim())
    .filter((item) => item !== '')

const isOrigin = (text: string) => URL.canParse(text) && new URL(text).origin === text

const corsOrigins = z.string().transform((text, context): '*' | readonly string[] => {
  if (text.trim() === '*') return '*'
  const origins = list(text)
  if (origins.every(isOrigin)) return origins
  context.addIssue('* or a list of origins such as https://club.example, separated by commas')
  return z.NEVER
})

const namedNetworks = new Set(['loopback', 'linklocal', 'uniquelocal'])

function isNetwork(text: string): boolean {
  if (namedNetworks.has(text)) return true
  const [address = '', bits, ...rest] = text.split('/')
  const version = isIP(address)
  return (
    version !== 0 &&
    rest.length === 0 &&
    (bits === undefined || (/^\d{1,3}$/.test(bits) && Number(bits) <= (version === 4 ? 32 : 128)))
  )
}

const trustProxy = z.string().transform((text, context): false | string[] => {
  if (text.trim() === 'false') return false
  const networks = list(text)
  if (networks.length > 0 && networks.every(isNetwork)) return networks
  context.addIssue('false, or addresses of proxies (loopback, uniquelocal, 10.0.0.0/8, …), separated by commas')
  return z.NEVER
})

const settings = z.object({
  HOST: z.string().min(1, 'an address to listen on').default('127.0.0.1'),
  PORT: wholeNumber(0, 65535).prefault('8080'),
  LOG_LEVEL: z
    .enum(
      ['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent'],
      'fatal, error, warn, info, debug, trace or silent',
    )
    .default('info'),
  CORS_ORIGINS: corsOrigins.prefault('*'),
  RATE_LIMIT_PER_MINUTE: wholeNumber(1, 1_000_000_000).prefault('600'),
  TRUST_PROXY: trustProxy.prefault('false'),
  DRAIN_SECONDS: wholeNumber(0, 600).prefault('0'),
})

export interface Config {
  /** Address to listen on. */
  readonly host: string
  /** TCP port; 0 takes a free one. */
  readonly port: number
  readonly logLevel: 'fatal' | 'error' | 'warn' | 'info' | 'debug' | 'trace' | 'silent'
  /** Origins whose pages may read the answers; `*` for any. */
  readonly corsOrigins: '*' | readonly string[]
  /** Requests a minute for one client that is not on this host. */
  readonly rateLimitPerMinute: number
  /** Proxies whose `X-Forwarded-For` is believed: none, or those in these networks. */
  readonly trustProxy: false | string[]
  /** How long readiness answers 503 before a stopping service takes no more requests. */
  readonly drainSeconds: number
}

/**
 * Settings from the environment; an empty value counts as not given.
 *
 * @throws {ConfigError} naming every variable that cannot be used, what it holds and what is allowed
 */
export function readConfig(environment: Readonly<Record<string, string | undefined>>): Config {
  const given = Object.fromEntries(Object.entries(environment).filter(([, value]) => value !== ''))
  const { success, data, error } = settings.safeParse(given)
  if (!success) {
    const reasons = error.issues.map((issue) => {
      const name = String(issue.path[0])
      return `${name} is ${JSON.stringify(given[name])}; allowed: ${issue.message}`
    })
    throw new ConfigError(`Cannot start: ${[...new Set(reasons)].join('. ')}.`)
  }
  return Object.freeze({
    host: data.HOST,
    port: data.PORT,
    logLevel: data.LOG_LEVEL,
    corsOrigins: data.CORS_ORIGINS,
    rateLimitPerMinute: data.RATE_LIMIT_PER_MINUTE,
    trustProxy: data.TRUST_PROXY,
    drainSeconds: data.DRAIN_SECONDS,
  })
}

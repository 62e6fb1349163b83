import t from 'tap'
import { ConfigError, readConfig } from '../src/config.ts'

void t.test('without any variable the service listens on loopback, port 8080', (t) => {
  t.same(readConfig({}), {
    host: '127.0.0.1',
    port: 8080,
    logLevel: 'info',
    corsOrigins: '*',
    rateLimitPerMinute: 600,
    trustProxy: false,
    drainSeconds: 0,
  })
  t.end()
})

void t.test('every variable is read, and an empty one counts as not given', (t) => {
  const config = readConfig({
    HOST: '0.0.0.0',
    PORT: '0',
    LOG_LEVEL: 'silent',
    CORS_ORIGINS: 'https://club.example, http://localhost:3000',
    RATE_LIMIT_PER_MINUTE: '1000000000',
    TRUST_PROXY: 'loopback, 10.0.0.0/8, fd00::/8, 192.0.2.1',
    DRAIN_SECONDS: '',
  })
  t.same(config, {
    host: '0.0.0.0',
    port: 0,
    logLevel: 'silent',
    corsOrigins: ['https://club.example', 'http://localhost:3000'],
    rateLimitPerMinute: 1_000_000_000,
    trustProxy: ['loopback', '10.0.0.0/8', 'fd00::/8', '192.0.2.1'],
    drainSeconds: 0,
  })
  t.ok(Object.isFrozen(config))
  t.equal(readConfig({ CORS_ORIGINS: ' * ' }).corsOrigins, '*')
  t.equal(readConfig({ TRUST_PROXY: 'false' }).trustProxy, false)
  t.end()
})

void t.test('a bad value is named with what is allowed, in one line', (t) => {
  const refused: [Record<string, string>, string][] = [
    [{ PORT: '80a' }, 'Cannot start: PORT is "80a"; allowed: a whole number from 0 to 65535.'],
    [{ PORT: '65536' }, 'Cannot start: PORT is "65536"; allowed: a whole number from 0 to 65535.'],
    [{ PORT: '-1' }, 'Cannot start: PORT is "-1"; allowed: a whole number from 0 to 65535.'],
    [
      { RATE_LIMIT_PER_MINUTE: '0' },
      'Cannot start: RATE_LIMIT_PER_MINUTE is "0"; allowed: a whole number from 1 to 1000000000.',
    ],
    [{ DRAIN_SECONDS: '601' }, 'Cannot start: DRAIN_SECONDS is "601"; allowed: a whole number from 0 to 600.'],
    [
      { LOG_LEVEL: 'loud' },
      'Cannot start: LOG_LEVEL is "loud"; allowed: fatal, error, warn, info, debug, trace or silent.',
    ],
    [
      { CORS_ORIGINS: 'club.example' },
      'Cannot start: CORS_ORIGINS is "club.example"; allowed: * or a list of origins such as https://club.example, separated by commas.',
    ],
    [
      { CORS_ORIGINS: 'https://club.example/page' },
      'Cannot start: CORS_ORIGINS is "https://club.example/page"; allowed: * or a list of origins such as https://club.example, separated by commas.',
    ],
  ]
  for (const [environment, message] of refused) {
    t.throws(() => readConfig(environment), new ConfigError(message), JSON.stringify(environment))
  }
  t.end()
})

void t.test('proxies are networks, never everybody', (t) => {
  for (const setting of [
    'true',
    '1',
    ',',
    '10.0.0.0/33',
    'fd00::/129',
    '10.0.0.0/8/8',
    '10.0.0/8',
    '10.0.0.0/x',
    'example.net',
  ]) {
    t.throws(() => readConfig({ TRUST_PROXY: setting }), { name: 'ConfigError', message: /TRUST_PROXY is / }, setting)
  }
  t.end()
})

void t.test('all bad values are named at once', (t) => {
  t.throws(() => readConfig({ PORT: 'x', DRAIN_SECONDS: 'y' }), { message: /PORT is "x".*DRAIN_SECONDS is "y"/ })
  t.end()
})

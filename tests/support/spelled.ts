// Values as programs write them, and now and then as only a person would.

import fc from 'fast-check'

const oddNumber = fc.oneof(
  fc.double({ noNaN: true, min: -200, max: 1e5 }).map(String),
  fc.stringMatching(/^-?\d{1,12}(\.\d{0,12})?$/),
  fc.constantFrom('-0', '007', '1.', '.5', '+3', '1e1', '1E-2', '0.1e+2', '9007199254740993', ' 1', '1 ', '--1', '0x1'),
)

/** Numbers up to a limit, now and then in another spelling of JSON or CSV, or none of either. */
export const spelledNumber = (max: number) =>
  fc.oneof(
    {
      weight: 12,
      arbitrary: fc.double({ noNaN: true, min: 0.1, max }).map((value) => String(Number(value.toFixed(3)))),
    },
    { weight: 12, arbitrary: fc.integer({ min: 1, max }).map(String) },
    // All digits of a double, which are more than whole numbers hold exactly.
    { weight: 3, arbitrary: fc.double({ noNaN: true, min: 0.1, max }).map(String) },
    { weight: 1, arbitrary: oddNumber },
  )

const twoDigits = (most: number) => fc.integer({ min: 0, max: most }).map((value) => String(value).padStart(2, '0'))

export const spelledTime = fc.oneof(
  {
    weight: 20,
    arbitrary: fc
      .date({ noInvalidDate: true, min: new Date(0), max: new Date('2100-01-01') })
      .map((it) => it.toISOString()),
  },
  fc
    .tuple(twoDigits(13), twoDigits(32), twoDigits(25), twoDigits(61), twoDigits(61))
    .map(([month, day, hour, minute, second]) => `2024-${month}-${day}T${hour}:${minute}:${second}Z`),
  fc.constantFrom(
    '2026-11-21T19:42:10.5Z',
    '2026-11-21T19:42:10.123456Z',
    '2026-11-21T19:42:10+01:00',
    '2026-11-21T19:42Z',
    '2026-11-21 19:42:10Z',
    '2026-02-29T19:42:10Z',
    '2028-02-29T19:42:10Z',
    '2026-11-21T7:42:10Z',
    '2026-11-21T19:42:10',
  ),
)

export const spelledTruth = fc.oneof(
  { weight: 12, arbitrary: fc.constantFrom('true', 'false') },
  { weight: 1, arbitrary: fc.constantFrom('1', '0', 'TRUE', 'yes', 'null') },
)

/** Whether a JSON reader takes it. */
export const isJson = (text: string): boolean => {
  try {
    JSON.parse(text)
    return true
  } catch {
    return false
  }
}

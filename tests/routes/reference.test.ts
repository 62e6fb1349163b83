import t from 'tap'
import type { Plain } from '../../src/contract/fields.ts'
import type { Typical } from '../../src/setup/typical.ts'
import { bands, constants, lamps, lines, setups, skyClasses } from '../../src/routes/reference/index.ts'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'

type Request = Plain<Parameters<typeof subExposure.handle>[0]>

const classes = setups.content()

/** Every {typical, low, high} anywhere in a table, with where it stands. */
function rangesIn(node: unknown, pointer = ''): [string, Typical][] {
  if (typeof node !== 'object' || node === null) return []
  const own: [string, Typical][] = 'typical' in node ? [[pointer, node as Typical]] : []
  return [...own, ...Object.entries(node).flatMap(([name, child]) => rangesIn(child, `${pointer}/${name}`))]
}

void t.test('a typical value lies in its range', (t) => {
  const ranges = rangesIn(classes)
  t.equal(ranges.length, 6 * 7 + 5 * 4 + 9 * 2)
  for (const [pointer, { low, typical, high }] of ranges) t.ok(low <= typical && typical <= high, pointer)
  t.end()
})

void t.test('every class and band that is listed can be asked with', (t) => {
  const whole: Request = {
    camera: { like: 'cooled-mono-cmos' },
    optics: { like: 'newtonian' },
    sky: { bortleClass: 5 },
  }
  const asks = [
    ...classes.cameras.map(({ like }) => ({ ...whole, camera: { like } })),
    ...classes.optics.map(({ like }) => ({ ...whole, optics: { like } })),
    ...classes.filters.map(({ band }) => ({ ...whole, filter: { band } })),
  ]
  t.equal(asks.length, 6 + 5 + 9)
  for (const request of asks) {
    const { recommended } = subExposure.handle(request as Request)
    t.ok(recommended.subSeconds > 1 && recommended.subSeconds < 7200, JSON.stringify(request))
  }
  t.end()
})

void t.test('the classes of filters are what a band stands for', (t) => {
  const width = Object.fromEntries(classes.filters.map(({ band, widthNm }) => [band, widthNm.typical]))
  const listed = bands.content().bands
  for (const { band } of classes.filters)
    t.ok(
      listed.some((it) => it.band === band),
      band,
    )
  t.equal(width.luminance, 300)
  t.equal(width['h-alpha'], 7)
  // A filter as wide and as clear, spelled out, gets the same advice as the name of its band.
  const typical = classes.filters.find(({ band }) => band === 'o-iii')
  const ask = (filter: Request['filter']) =>
    subExposure.handle({
      camera: { like: 'old-cooled-ccd' },
      optics: { like: 'newtonian' },
      sky: { bortleClass: 3 },
      filter,
    }).swampFactor
  t.equal(
    ask({ band: 'o-iii' }),
    ask({
      centerNm: typical?.centersNm[0] ?? NaN,
      widthNm: typical?.widthNm.typical ?? NaN,
      transmission: typical?.transmission.typical ?? NaN,
    }),
  )
  t.end()
})

void t.test('every table names its sources', (t) => {
  for (const { path, content } of [bands, lamps, lines, setups]) t.ok(content().source.length > 10, path)
  for (const { name, source } of constants.content().constants) t.ok(source.length > 10, name)
  const sources = Object.values(skyClasses.content().sources)
  t.ok(sources.length > 0)
  for (const source of sources) t.ok(source.length > 10, source)
  t.end()
})

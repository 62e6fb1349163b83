import t from 'tap'
import { ProblemError } from '../../src/contract/problem.ts'
import { EngineError } from '../../src/engine/index.ts'
import { inquire } from '../../src/setup/inquiry.ts'
import { inquireLong } from '../../src/setup/long-inquiry.ts'
import type { Notes } from '../../src/setup/notes.ts'
import { atOnce, type Work } from '../../src/setup/work.ts'

interface Request {
  width: number | { value: number; standardUncertainty: number }
  height: number | { value: number; standardUncertainty: number }
}
interface PlainRequest {
  width: number
  height: number
}

const areaOf = ({ width, height }: PlainRequest, notes: Notes) => {
  notes.explain('width times height')
  return width * height
}
const quantities = ({ width, height }: PlainRequest) => {
  // A value that the model refuses.
  if (width > 2.004) throw new EngineError('out-of-range', 'Too wide.', { field: 'width' })
  return { '/area': width * height, '/none': null }
}

function* solveLong(request: PlainRequest, notes: Notes): Work<number> {
  yield
  return areaOf(request, notes)
}
function* encodeLong(area: number): Work<{ area: number }> {
  yield
  return { area }
}

function* quantitiesLong(request: PlainRequest): Work<ReturnType<typeof quantities>> {
  yield
  return quantities(request)
}

const long = (request: Request) =>
  atOnce(inquireLong(request, { solve: solveLong, quantities: quantitiesLong, encode: encodeLong }))

void t.test('a long inquiry answers as a short one does, uncertainties too', (t) => {
  const requests: Request[] = [
    { width: 2, height: 3 },
    { width: { value: 1.5, standardUncertainty: 0.1 }, height: { value: 3, standardUncertainty: 0.2 } },
    { width: { value: 2, standardUncertainty: 0.5 }, height: 3 },
  ]
  for (const request of requests) {
    const short = inquire(request, {
      solve: areaOf,
      quantities,
      encode: (area: number) => ({ area }),
    })
    t.same(long(request), short)
  }
  const { uncertainty } = long({
    width: { value: 1.5, standardUncertainty: 0.1 },
    height: { value: 3, standardUncertainty: 0.2 },
  })
  t.match(uncertainty, [{ quantity: '/area' }])
  t.ok(Math.abs((uncertainty?.[0]?.standardUncertainty ?? NaN) - Math.hypot(0.1 * 3, 0.2 * 1.5)) < 1e-9)
  t.end()
})

void t.test('what the engine refuses points into the request, anything else goes on as it is', (t) => {
  const failing = (error: Error) =>
    atOnce(
      inquireLong(
        { subSeconds: 1 },
        {
          solve: function* () {
            yield
            throw error
          },
          quantities: quantitiesLong as never,
          encode: encodeLong,
        },
      ),
    )
  t.throws(() => failing(new EngineError('no-signal', 'Dark.', { field: 'target' })), ProblemError)
  t.throws(() => failing(new TypeError('a slip')), TypeError)
  t.end()
})

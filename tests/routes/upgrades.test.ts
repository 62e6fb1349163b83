import t from 'tap'
import { ProblemError } from '../../src/contract/problem.ts'
import { canonicalJson, mergePatch } from '../../src/routes/upgrades/merge-patch.ts'
import { upgrades } from '../../src/routes/upgrades/index.ts'
import { near } from '../support/near.ts'

type Request = Parameters<typeof upgrades.handle>[0]

const BASE: Request = {
  setup: {
    camera: {
      color: 'mono',
      pixelSizeUm: 4,
      widthPx: 6000,
      heightPx: 4000,
      quantumEfficiency: 0.5,
      readNoiseElectrons: 9,
      darkCurrent: { electronsPerPixelSecond: 0.05, atCelsius: 0, doublingCelsius: 6 },
      temperatureCelsius: 0,
    },
    optics: { apertureMm: 100, focalLengthMm: 500, transmission: 0.9 },
    filter: { band: 'h-alpha', widthNm: 12 },
    plan: { overheadSeconds: 20, interruptionsPerHour: 1, refocusSeconds: 120, longestTrackedSeconds: 120 },
    site: { sky: { magPerArcsec2: 20 }, travelHours: 0, hoursPerNight: 5 },
  },
  target: { line: 'h-alpha', rayleighs: 60 },
  goal: { snr: 3, per: 'arcsec2' },
  candidates: [
    { name: 'guiding', change: { plan: { longestTrackedSeconds: 600 } }, price: 300 },
    { name: 'quiet', change: { camera: { readNoiseElectrons: 3 } }, price: 900 },
    { name: 'quieter', change: { camera: { readNoiseElectrons: 1.5 } }, price: 1500 },
    { name: 'narrow', change: { filter: { widthNm: 3 } }, price: 400 },
    { name: 'cold', change: { camera: { temperatureCelsius: -20 } }, price: 200 },
    { name: 'paint', change: {}, price: 50 },
    { name: 'slow', change: { plan: { overheadSeconds: 90 } }, price: 0 },
  ],
  budget: 1500,
}

const ask = (over: Partial<Request> = {}) => upgrades.handle({ ...BASE, ...over })

function refusalsOf(over: Partial<Request>): { pointer: string; message: string }[] {
  try {
    ask(over)
  } catch (error) {
    if (error instanceof ProblemError) return [...error.errors]
    throw error
  }
  return []
}

const errorsOf = (over: Partial<Request>) => refusalsOf(over).map(({ pointer }) => pointer)

void t.test('JSON Merge Patch: the cases of RFC 7396, appendix A', (t) => {
  const cases: [unknown, unknown, unknown][] = [
    [{ a: 'b' }, { a: 'c' }, { a: 'c' }],
    [{ a: 'b' }, { b: 'c' }, { a: 'b', b: 'c' }],
    [{ a: 'b' }, { a: null }, {}],
    [{ a: 'b', b: 'c' }, { a: null }, { b: 'c' }],
    [{ a: ['b'] }, { a: 'c' }, { a: 'c' }],
    [{ a: 'c' }, { a: ['b'] }, { a: ['b'] }],
    [{ a: { b: 'c' } }, { a: { b: 'd', c: null } }, { a: { b: 'd' } }],
    [{ a: [{ b: 'c' }] }, { a: [1] }, { a: [1] }],
    [
      ['a', 'b'],
      ['c', 'd'],
      ['c', 'd'],
    ],
    [{ a: 'b' }, ['c'], ['c']],
    [{ a: 'foo' }, null, null],
    [{ a: 'foo' }, 'bar', 'bar'],
    [{ e: null }, { a: 1 }, { e: null, a: 1 }],
    [[1, 2], { a: 'b', c: null }, { a: 'b' }],
    [{}, { a: { bb: { ccc: null } } }, { a: { bb: {} } }],
  ]
  for (const [document, patch, result] of cases) t.same(mergePatch(document, patch), result, JSON.stringify(patch))
  const hostile = mergePatch({}, JSON.parse('{"__proto__": {"polluted": true}}')) as Record<string, unknown>
  t.equal(hostile.polluted, undefined, 'a name like any other')
  t.equal(canonicalJson({ b: [{ d: 1, c: 2 }], a: 3 }), '{"a":3,"b":[{"c":2,"d":1}]}')
  t.end()
})

void t.test('each change is ranked, and says which noise it attacks', (t) => {
  const { candidates, ranking, base } = ask()
  const of = (name: string) => candidates.find((it) => it.name === name)
  t.equal(base.limitingNoise, 'read')
  for (const [name, part] of [
    ['guiding', 'read'],
    ['quiet', 'read'],
    ['quieter', 'read'],
    ['narrow', 'sky'],
    ['cold', 'dark'],
  ] as const) {
    t.equal(of(name)?.attacks[0]?.part, part, name)
    t.ok((of(name)?.hoursSaved ?? NaN) > 0, `${name} saves time`)
    t.ok((of(name)?.snrGain ?? NaN) > 1, `${name} gains`)
    near(t, of(name)?.hoursSavedPerMoney ?? NaN, (of(name)?.hoursSaved ?? NaN) / (of(name)?.price ?? NaN), 1e-12, name)
  }
  t.equal(of('quieter')?.rank, 1)
  t.same(of('paint')?.attacks, [])
  t.same([of('paint')?.hoursSaved, of('paint')?.snrGain, of('paint')?.worth], [0, 1, 'no-gain'])
  t.equal(of('slow')?.worth, 'harm')
  t.same(ranking.slice(-2), ['paint', 'slow'], 'what helps nothing comes last')
  const saved = candidates.map((it) => it.yields.totalHours ?? NaN)
  for (const [index, hours] of saved.entries()) {
    near(t, (base.totalHours ?? NaN) - (candidates[index]?.hoursSaved ?? NaN), hours, 1e-9, 'hours saved are hours')
  }
  t.end()
})

void t.test('the factors of what a change attacks multiply to its gain in a night', (t) => {
  const { candidates } = ask({
    candidates: [{ name: 'all', change: { camera: { readNoiseElectrons: 3, temperatureCelsius: -20 } }, price: 1 }],
  })
  const [all] = candidates
  const product = (all?.attacks ?? []).reduce((value, { informationFactor }) => value * informationFactor, 1)
  near(t, Math.sqrt(product), all?.snrGain ?? NaN, 0.02, 'up to parts too small to tell and losses')
  t.end()
})

void t.test('pairs reinforce, overlap, or cannot both be made', (t) => {
  const { pairs } = ask()
  const pair = (first: string, second: string) => pairs.find((it) => it.first === first && it.second === second)
  t.equal(pairs.length, 21)
  t.equal(pair('quiet', 'quieter')?.effect, 'exclusive')
  t.equal(pair('guiding', 'quiet')?.effect, 'overlap', 'both attack the read noise')
  t.equal(pair('quiet', 'narrow')?.effect, 'reinforce', 'a quiet camera makes a narrow filter worth more')
  t.equal(pair('paint', 'narrow')?.effect ?? pair('narrow', 'paint')?.effect, 'independent')
  t.ok((pair('quiet', 'narrow')?.togetherHoursSaved ?? NaN) > 0)
  t.end()
})

void t.test('the bundle is the best of all affordable sets, asked one by one', (t) => {
  const { bundle, candidates } = ask()
  let best = Infinity
  let sets = 0
  for (let mask = 0; mask < 2 ** candidates.length; mask++) {
    const members = BASE.candidates.filter((_, index) => ((mask >> index) & 1) === 1)
    const price = members.reduce((sum, it) => sum + it.price, 0)
    const names = members.map(({ name }) => name)
    if (price > 1500 || (names.includes('quiet') && names.includes('quieter'))) continue
    sets++
    const change = members.reduce<unknown>((patch, it) => mergeChanges(patch, it.change), {})
    const whole = ask({ candidates: [{ name: 'set', change: change as Record<string, unknown>, price }], budget: 1e9 })
    best = Math.min(best, whole.candidates[0]?.yields.totalHours ?? Infinity)
  }
  near(t, bundle.yields.totalHours ?? NaN, best, 1e-12, bundle.names.join(', '))
  t.equal(bundle.setsLookedAt, sets)
  t.ok(bundle.price <= 1500)
  for (const name of bundle.names) t.equal(candidates.find((it) => it.name === name)?.worth, 'worth-it', name)
  t.end()
})

/** Two patches as one; none here holds a null. */
function mergeChanges(one: unknown, other: unknown): unknown {
  return mergePatch(one, other)
}

void t.test('what is not worth its money is named, with the reason', (t) => {
  const { notWorthIt, candidates } = ask({ budget: 1000 })
  const worth = (name: string) => candidates.find((it) => it.name === name)?.worth
  t.equal(worth('quieter'), 'too-dear')
  t.equal(worth('slow'), 'harm')
  t.ok(notWorthIt.includes('paint') && notWorthIt.includes('slow') && notWorthIt.includes('quieter'))
  t.ok(candidates.some((it) => it.worth === 'outdone'))
  const free = ask({ budget: 0 })
  t.same(free.bundle.names, [], 'nothing that is free helps')
  t.equal(free.bundle.hoursSaved, 0)
  t.match(free.explanation.at(-1), /^Nothing that can be afforded/)
  t.end()
})

void t.test('a change that pays only beside another is not said to pay alone', (t) => {
  // Few hours of a night are left after the drive: alone it costs time, beside a camera that sees H-alpha it saves some.
  const { candidates, bundle } = upgrades.handle({
    setup: {
      camera: { like: 'unmodified-consumer' },
      optics: { like: 'small-refractor' },
      filter: { band: 'h-alpha' },
      site: { sky: { bortleClass: 7 } },
    },
    target: { line: 'h-alpha', rayleighs: 60 },
    goal: { snr: 5 },
    candidates: [
      { name: 'modified', change: { camera: { like: 'modified-consumer' } }, price: 250 },
      { name: 'drive', change: { site: { sky: { bortleClass: 3 }, travelHours: 2 } }, price: 0 },
    ],
    budget: 500,
  })
  t.same(bundle.names, ['modified', 'drive'])
  const [modified, drive] = candidates
  t.ok((drive?.hoursSaved ?? NaN) < 0)
  t.match(
    drive?.reason,
    /^“drive” pays only together with the others: alone it costs .+ h, .+ % more time; in the best set of changes it takes .+ % off the time/,
  )
  t.match(modified?.reason, /^“modified” pays: it saves/)
  t.end()
})

void t.test('a change that breaks the set-up is refused in the words of any other refusal', (t) => {
  const [refusal] = refusalsOf({
    candidates: [{ name: 'typo', change: { camera: { readNoiseElectron: 1 } }, price: 1 }],
  })
  t.match(refusal?.message, /^the set-up that this leads to: unknown field; did you mean `readNoiseElectrons`\?/)
  t.end()
})

void t.test('a change that breaks the set-up is named by pointer', (t) => {
  const breaking = (change: Record<string, unknown>) =>
    errorsOf({
      candidates: [
        { name: 'fine', change: {}, price: 0 },
        { name: 'broken', change, price: 1 },
      ],
    })
  t.same(breaking({ camera: { readNoiseElectrons: -1 } }), ['/candidates/1/change/camera/readNoiseElectrons'])
  t.same(breaking({ camera: null }), ['/candidates/1/change/camera'])
  t.same(breaking({ camera: { megapixels: 24 } }), ['/candidates/1/change/camera/megapixels'])
  t.same(breaking({ 'a/b~c': 1 }), ['/candidates/1/change/a~1b~0c'])
  t.same(breaking({ site: { sky: { bortleClass: 4 } } }).sort(), [
    '/candidates/1/change/site/sky/bortleClass',
    '/candidates/1/change/site/sky/magPerArcsec2',
  ])
  t.same(breaking({ optics: { obstructionMm: 120 } }), ['/candidates/1/change/optics/obstructionMm'])
  t.same(breaking({ camera: { quantumEfficiency: null } }), ['/candidates/1/change/camera/quantumEfficiency'])
  t.same(
    errorsOf({
      candidates: [
        { name: 'one', change: { camera: { binning: 99 } }, price: 1 },
        { name: 'two', change: { optics: { apertureMm: 0 } }, price: 1 },
      ],
    }),
    ['/candidates/0/change/camera/binning', '/candidates/1/change/optics/apertureMm'],
    'all of them at once',
  )
  t.same(errorsOf({ candidates: [...BASE.candidates.slice(0, 1), ...BASE.candidates.slice(0, 1)] }), [
    '/candidates/1/name',
  ])
  t.same(errorsOf({ setup: { ...BASE.setup, optics: undefined } }).slice(0, 1), ['/setup/optics'])
  t.end()
})

void t.test('two changes that break the set-up only together are no bundle', (t) => {
  const { bundle, pairs } = ask({
    setup: { ...BASE.setup, optics: { apertureMm: 100, focalLengthMm: 500, obstructionMm: 50, transmission: 0.9 } },
    candidates: [
      { name: 'stop down', change: { optics: { apertureMm: 80 } }, price: 0 },
      { name: 'wide mirror', change: { optics: { obstructionMm: 90 } }, price: 0 },
    ],
  })
  t.equal(pairs[0]?.effect, 'exclusive')
  t.equal(bundle.setsLookedAt, 4, 'the pair was looked at, and cannot be made')
  t.end()
})

void t.test(
  'out of reach as it is: changes count by their night, and the one that brings the goal within reach wins',
  (t) => {
    const plan = { ...BASE.setup.plan, calibration: { darkFrames: 2 } }
    const candidates = [
      { name: 'darks', change: { plan: { calibration: { darkFrames: 200, ditherPositions: 200 } } }, price: 10 },
      { name: 'aperture', change: { optics: { apertureMm: 110 } }, price: 10 },
      { name: 'blind', change: { filter: { band: 'blue', widthNm: null } }, price: 10 },
    ]
    const answer = ask({ setup: { ...BASE.setup, plan }, candidates, budget: 10 })
    t.equal(answer.base.reachable, false)
    const [darks, aperture, blind] = answer.candidates
    t.match(darks?.reason, /only with it the goal comes within reach/)
    t.equal(darks?.attacks[0]?.part, 'calibration')
    t.equal(darks?.hoursSaved, null)
    t.same(answer.bundle.names, ['darks'])
    t.ok((aperture?.snrGain ?? NaN) > 1)
    t.equal(blind?.yields.reachable, false)
    t.match(blind?.yields.reason, /no channel|calibration/)
    const lost = ask({ candidates: [{ name: 'blind', change: { filter: { band: 'blue', widthNm: null } }, price: 1 }] })
    t.match(lost.candidates[0]?.reason, /out of reach|costs/)
    t.end()
  },
)

void t.test('without a budget everything may be bought; uncertainties reach the hours saved', (t) => {
  const { optics } = BASE.setup
  const uncertain = { ...optics, transmission: { value: 0.9, standardUncertainty: 0.02 } }
  const answer = upgrades.handle({
    setup: { ...BASE.setup, optics: uncertain },
    target: BASE.target,
    goal: BASE.goal,
    candidates: BASE.candidates,
  })
  t.same(
    answer.assumptions.find(({ pointer }) => pointer === '/budget')?.value,
    BASE.candidates.reduce((sum, { price }) => sum + price, 0),
  )
  const quantities = answer.uncertainty?.map(({ quantity }) => quantity) ?? []
  for (const quantity of ['/base/totalHours', '/candidates/3/hoursSaved', '/bundle/hoursSaved']) {
    t.ok(quantities.includes(quantity), quantity)
  }
  t.end()
})

void t.test('a patch may hold an uncertain number too', (t) => {
  const change = { camera: { readNoiseElectrons: { value: 3, standardUncertainty: 0.2 } } }
  const answer = ask({ candidates: [{ name: 'quiet', change, price: 900 }] })
  const told = answer.uncertainty?.find(({ quantity }) => quantity === '/candidates/0/hoursSaved')
  t.same(told?.contributions, [{ input: '/candidates/0/change/camera/readNoiseElectrons', share: 1 }])
  t.end()
})

void t.test('the default unit of the goal is told', (t) => {
  const { assumptions } = ask({ goal: { snr: 3 } })
  t.ok(assumptions.some(({ pointer }) => pointer === '/goal/per'))
  t.end()
})

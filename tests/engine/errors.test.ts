import t from 'tap'
import { ENGINE_ERRORS, EngineError, requireInRange } from '../../src/engine/errors.ts'

void t.test('an error carries its code, its words and its facts', (t) => {
  const error = new EngineError('goal-above-ceiling', 'Too high.', { field: 'snr', facts: { ceilingSnr: 12 } })
  t.ok(error instanceof Error)
  t.equal(error.name, 'EngineError')
  t.equal(error.code, 'goal-above-ceiling')
  t.equal(error.message, 'Too high.')
  t.same(error.details, { field: 'snr', facts: { ceilingSnr: 12 } })
  t.same(new EngineError('no-signal', 'Dark.').details, {}, 'facts are optional')
  t.end()
})

void t.test('every code is a word or words with hyphens, and says in a sentence what it means', (t) => {
  for (const [code, meaning] of Object.entries(ENGINE_ERRORS)) {
    t.match(code, /^[a-z]+(-[a-z]+)*$/)
    t.match(meaning, /^[A-Z].*\.$/)
  }
  t.end()
})

void t.test('both ends of a range are allowed', (t) => {
  t.doesNotThrow(() => {
    requireInRange('share', 0, 0, 1)
    requireInRange('share', 1, 0, 1)
    requireInRange('subSeconds', Number.MAX_VALUE, 0)
  })
  t.end()
})

void t.test('what lies outside is refused with the field, the number and what is allowed', (t) => {
  t.throws(
    () => {
      requireInRange('share', 1.5, 0, 1)
    },
    {
      code: 'out-of-range',
      message: 'share is 1.5; allowed: 0 to 1.',
      details: { field: 'share', given: 1.5, allowed: '0 to 1' },
    },
  )
  t.throws(
    () => {
      requireInRange('share', -0.1, 0, 1)
    },
    { code: 'out-of-range', details: { given: -0.1 } },
  )
  t.throws(
    () => {
      requireInRange('subSeconds', -2, 0)
    },
    { code: 'out-of-range', message: 'subSeconds is -2; allowed: at least 0.', details: { allowed: 'at least 0' } },
  )
  t.end()
})

void t.test('what is not a finite number is refused', (t) => {
  for (const value of [NaN, Infinity, -Infinity]) {
    t.throws(
      () => {
        requireInRange('subSeconds', value, 0)
      },
      { code: 'out-of-range', details: { given: value } },
    )
  }
  t.end()
})

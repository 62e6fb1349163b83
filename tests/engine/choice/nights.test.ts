import t from 'tap'
import { fieldDegrees, frameBytes, nightSecondsForSubs, nightsNeeded } from '../../../src/engine/index.ts'
import { near, refuses } from '../../support/near.ts'

void t.test('nights begin with focusing, and every filter change costs one more', (t) => {
  const one = { runCount: 1, nightSeconds: 10000, refocusSeconds: 1000, filterChangeSeconds: 100 }
  t.same(nightsNeeded({ ...one, workSeconds: 9000 }), { nights: 1, deadSeconds: 1000 })
  t.same(nightsNeeded({ ...one, workSeconds: 9001 }), { nights: 2, deadSeconds: 2000 })
  t.same(nightsNeeded({ ...one, workSeconds: 0 }), { nights: 1, deadSeconds: 1000 })
  // Three runs in two nights make four stretches and two changes.
  t.same(nightsNeeded({ ...one, runCount: 3, workSeconds: 15800 }), { nights: 2, deadSeconds: 4200 })
  t.same(nightsNeeded({ ...one, runCount: 3, workSeconds: 15801 }), { nights: 3, deadSeconds: 5200 })
  t.equal(nightsNeeded({ ...one, workSeconds: 1, refocusSeconds: 10000 }), null, 'nothing is left of the night')
  refuses(t, () => nightsNeeded({ ...one, workSeconds: -1 }), 'out-of-range', 'negative work')
  refuses(t, () => nightsNeeded({ ...one, workSeconds: 1, runCount: 0 }), 'out-of-range', 'no run')
  t.end()
})

void t.test('one night in which every run has its turn', (t) => {
  const night = { runCount: 3, nightSeconds: 10000, refocusSeconds: 1000, filterChangeSeconds: 100 }
  t.equal(nightSecondsForSubs(night), 6800)
  t.equal(nightSecondsForSubs({ ...night, refocusSeconds: 4000 }), 0)
  t.end()
})

void t.test('field and bytes of a frame', (t) => {
  near(t, fieldDegrees({ sizeMm: 2, focalLengthMm: 1 }), 90, 1e-12, 'twice the focal length sees a right angle')
  near(t, fieldDegrees({ sizeMm: 23.5, focalLengthMm: 480 }), 2.8045457725339142, 1e-12, 'an ordinary sensor')
  refuses(t, () => fieldDegrees({ sizeMm: 0, focalLengthMm: 1 }), 'out-of-range', 'no sensor')
  refuses(t, () => fieldDegrees({ sizeMm: 1, focalLengthMm: 0 }), 'out-of-range', 'no focal length')
  t.equal(frameBytes({ pixels: 1000, bitDepth: 8 }), 1000)
  t.equal(frameBytes({ pixels: 1000, bitDepth: 12 }), 2000)
  t.equal(frameBytes({ pixels: 1000, bitDepth: 16 }), 2000)
  t.equal(frameBytes({ pixels: 1000, bitDepth: 17 }), 4000)
  refuses(t, () => frameBytes({ pixels: 0, bitDepth: 8 }), 'out-of-range', 'no pixel')
  refuses(t, () => frameBytes({ pixels: 1, bitDepth: 33 }), 'out-of-range', 'too many bits')
  t.end()
})

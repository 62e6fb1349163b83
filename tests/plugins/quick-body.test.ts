// A body whose list is taken straight from the text has to meet the answers and refusals that it meets without that.

import t from 'tap'
import { nameOf } from '../../src/contract/json-schemas.ts'
import { buildContractCheck } from '../../src/plugins/contract-check.ts'
import { quickBody } from '../../src/plugins/quick-body.ts'
import { sessionCheck } from '../../src/routes/session-check/index.ts'
import { post, testApp } from '../support/app.ts'
import { BASE, subs } from '../support/session-check.ts'

const { quick, ...withoutQuick } = sessionCheck
if (quick === undefined) throw new Error('a check reads its subs quickly')
const errorsOf = buildContractCheck().errorsOf(nameOf(sessionCheck.request))
const isQuick = (text: string) => quickBody(text, { list: quick, errorsOf }) !== null

const LIST = JSON.stringify(subs(12))
const REST = JSON.stringify(BASE).slice(1, -1)

void t.test('answers and refusals are those of a body read with care', async (t) => {
  let quickly = 0
  const counting: typeof quick = {
    ...quick,
    handle: (rest, items) => {
      quickly++
      return quick.handle(rest, items)
    },
  }
  const { app } = await testApp(t, { endpoints: [{ ...sessionCheck, quick: counting }] })
  const { app: careful } = await testApp(t, { endpoints: [withoutQuick] })
  const bodies: [isQuick: boolean, body: string][] = [
    [true, `{"subs":${LIST},${REST}}`],
    [true, `{${REST},"subs":${LIST}}`],
    [true, `{${REST}, "subs" : [ ${LIST.slice(1)} }`],
    [true, `{${REST},"filters":[{"label":"subs"}],"subs":${LIST.replaceAll('}', ',"filter":"subs"}')}}`],
    [true, `{${REST},"filters":[{"label":"\\"subs\\":["}],"subs":${LIST}}`],
    [true, JSON.stringify({ ...BASE, subs: subs(12, () => ({ backgroundAdu: 3 })) })],
    [false, `{"subs":${LIST},"subs":${LIST},${REST}}`],
    [false, `{"subs":${LIST},${REST}`],
    [false, `{"subs":${LIST},${REST}}]`],
    [false, `{"subs":${LIST},"subs":[],${REST}}`],
    [false, `{"subs":${LIST},"kamera":1,${REST}}`],
    [false, `{"subs":${LIST}}`],
    [false, `{"plan":{"subs":${LIST}},${REST}}`],
    [false, `{"x\\"subs":${LIST},${REST}}`],
    [false, `{${REST}}`],
    [false, `{${REST},"subs":[]}`],
    [false, `{${REST},"sub\\u0073":${LIST}}`],
    [false, `{"subs"\u00a0:${LIST},${REST}}`],
    [false, JSON.stringify({ ...BASE, subs: subs(3, () => ({ relativeFwhm: -1 })) })],
    [false, `"subs":${LIST}`],
    [false, ''],
  ]
  for (const [expected, body] of bodies) {
    t.equal(isQuick(body), expected, `${body.slice(0, 40)} … ${body.slice(-40)}`)
    const [one, other] = [await post(app, body, sessionCheck.path), await post(careful, body, sessionCheck.path)]
    t.equal(one.statusCode, other.statusCode)
    t.equal(quickly, expected ? 1 : 0, 'the service takes the same way')
    quickly = 0
    t.same(one.json(), other.json())
  }
  const broken = Buffer.concat([Buffer.from(`{"subs":${LIST},"goal":"`), Buffer.of(0xff), Buffer.from(`",${REST}}`)])
  const refused = await app.inject({
    method: 'POST',
    url: sessionCheck.path,
    headers: { 'content-type': 'application/json' },
    payload: broken,
  })
  t.match(refused.json(), { status: 400, detail: /not UTF-8/ })
})

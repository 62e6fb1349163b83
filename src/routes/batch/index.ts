import { BatchAnswerLineSchema, batchExamples, BatchLineSchema } from '../../contract/batch.ts'
import type { Batch } from '../endpoint.ts'

export const batch: Batch = {
  kind: 'batch',
  id: 'batch',
  path: '/v1/batch',
  tag: 'Batch',
  summary: 'What are the answers to many questions?',
  description: `Each line of the body is one JSON object, \`{"path": "/v1/sub-exposure", "request": {…}, "id": "…"}\` (schema \`BatchLine\`; \`id\` may be left out). Each is answered by one line, in order, as soon as it is known (schema \`BatchAnswerLine\`): \`{"line": 1, "id": "…", "status": 200, "answer": {…}}\`, or the problem that the question would meet by itself, \`{"line": 2, "status": 400, "problem": {…}}\`. A bad line spoils no other. Every question that takes a JSON body can be asked; a batch inside a batch cannot.

A batch may have 10000 questions and 16777216 bytes, a line 65536 bytes; a longer question is asked by itself. Blank lines are passed over but counted, lines may end in LF or CR LF, the last one in nothing. What goes beyond a limit is answered by one last line with status 413, or 429 when the client has used up its minute: every 20 questions count as one request.

Read while you send, or send everything first: both work. A batch ends with a last line of status 408 when the next bytes do not come within 10 seconds; its connection is cut when answers lie unread for two and a half minutes, or after half an hour. When the client goes away the work stops.`,
  line: BatchLineSchema,
  answerLine: BatchAnswerLineSchema,
  examples: batchExamples,
}

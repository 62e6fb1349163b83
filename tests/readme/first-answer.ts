// The README's first call and the part of its answer that the README shows.

import { readFileSync } from 'node:fs'
import { subExposure } from '../../src/routes/sub-exposure/index.ts'

/** The body of the README's first curl line. */
export function firstRequest(): Parameters<typeof subExposure.handle>[0] {
  const body = /-d '([^']+)'/.exec(readFileSync('README.md', 'utf8'))?.[1] ?? ''
  return JSON.parse(body) as Parameters<typeof subExposure.handle>[0]
}

/** What comes back, cut to the headline and its sentences, as a fenced block. */
export function firstAnswer(): string {
  const { recommended, usefulRange, limitedBy, swampFactor, explanation } = subExposure.handle(firstRequest())
  const shown = { recommended, usefulRange, limitedBy, swampFactor, explanation }
  return `\`\`\`json\n${JSON.stringify(shown, null, 2)}\n\`\`\``
}

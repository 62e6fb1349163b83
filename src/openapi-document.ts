// The OpenAPI document without a running service. As a script: `node openapi-document.js FILE` writes it to a file.

import { writeFile } from 'node:fs/promises'
import { pathToFileURL } from 'node:url'
import { buildApp } from './app.ts'
import { readConfig } from './config.ts'
import { endpoints } from './routes/index.ts'

/** The document that `GET /openapi.json` answers, as text to commit: the same for the same endpoints. */
export async function openapiDocument(): Promise<string> {
  const app = await buildApp({ endpoints, config: readConfig({ LOG_LEVEL: 'silent' }) })
  try {
    return `${JSON.stringify(app.swagger(), null, 2)}\n`
  } finally {
    await app.close()
  }
}

const [, script = '', file] = process.argv
if (import.meta.url === pathToFileURL(script).href) {
  if (file === undefined) {
    process.stderr.write('usage: node openapi-document.js FILE\n')
    process.exitCode = 2
  } else await writeFile(file, await openapiDocument())
}

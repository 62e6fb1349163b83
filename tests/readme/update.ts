// Writes what the README shows: `node .build/tests/readme/update.js`.

import { readFileSync, writeFileSync } from 'node:fs'
import { adviceTable } from './advice-table.ts'
import { firstAnswer } from './first-answer.ts'

const between = (text: string, mark: string, content: string) =>
  text.replace(new RegExp(`<!-- ${mark} -->[\\s\\S]*?(?=\\n[A-Z])`), `<!-- ${mark} -->\n\n${content}\n`)

const readme = readFileSync('README.md', 'utf8')
writeFileSync('README.md', between(between(readme, 'first-answer', firstAnswer()), 'advice-table', adviceTable()))

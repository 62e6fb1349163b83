// The engine reads no clock and no chance, and says of every public function what it returns and where it is from. What
// Node and browsers offer does not even compile there: src/engine/tsconfig.json leaves their types out.

import { execFileSync } from 'node:child_process'
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import t from 'tap'
import ts from 'typescript'

const ENGINE = 'src/engine'

const files = readdirSync(ENGINE, { recursive: true, encoding: 'utf8' })
  .filter((name) => name.endsWith('.ts'))
  .map((name) => join(ENGINE, name))

/** Every use of a clock or of chance. */
function impurities(path: string, text: string): string[] {
  const source = ts.createSourceFile(path, text, ts.ScriptTarget.ES2023, true)
  const found: string[] = []
  const visit = (node: ts.Node): void => {
    const code = ts.isIdentifier(node) || ts.isPropertyAccessExpression(node) ? node.getText(source) : ''
    if (['Date', 'performance', 'Math.random', 'globalThis', 'eval'].includes(code)) found.push(`${path}: ${code}`)
    ts.forEachChild(node, visit)
  }
  visit(source)
  return found
}

/** Exported functions whose docstring lacks what it owes. */
function undocumented(path: string, text: string): string[] {
  const source = ts.createSourceFile(path, text, ts.ScriptTarget.ES2023, true)
  return source.statements.filter(ts.isFunctionDeclaration).flatMap((statement) => {
    if (statement.modifiers?.some(({ kind }) => kind === ts.SyntaxKind.ExportKeyword) !== true) return []
    const tags = ts.getJSDocTags(statement).map(({ tagName }) => tagName.text)
    const owes = tags.includes('returns') && (tags.includes('source') || tags.includes('derived'))
    const refuses = statement.type?.kind === ts.SyntaxKind.VoidKeyword
    return owes || refuses ? [] : [`${path}: ${statement.name?.text ?? ''}`]
  })
}

void t.test('the engine reads no clock and no chance', (t) => {
  t.ok(files.length > 20, 'the files were found')
  t.same(
    files.flatMap((path) => impurities(path, readFileSync(path, 'utf8'))),
    [],
  )
  t.same(impurities('x.ts', 'export const now = () => Date.now() + Math.random()'), ['x.ts: Date', 'x.ts: Math.random'])
  t.end()
})

void t.test('every public function of the engine says what it returns and where it is from', (t) => {
  t.same(
    files.flatMap((path) => undocumented(path, readFileSync(path, 'utf8'))),
    [],
  )
  t.same(undocumented('x.ts', 'export function f(): number { return 1 }'), ['x.ts: f'])
  t.end()
})

void t.test('the engine compiles without the types of Node or of a browser', (t) => {
  const compiler = join('node_modules', 'typescript', 'bin', 'tsc')
  t.equal(execFileSync(process.execPath, [compiler, '-p', join(ENGINE, 'tsconfig.json')], { encoding: 'utf8' }), '')
  t.end()
})

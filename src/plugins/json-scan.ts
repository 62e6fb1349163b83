// A JSON scanner that builds nothing: it finds where a text stops being JSON, and names that an object gives twice.

import { pointerStep } from '../contract/pointer.ts'

export interface JsonScan {
  /** Where the text stops being JSON, and what could have stood there. */
  fault?: { offset: number; expected: string }
  /** JSON Pointers to names that stand twice in one object; the first fifty. */
  doubled: string[]
}

const mostDoubled = 50

const tokens = {
  space: /[ \t\r\n]*/y,
  string: /"(?:[^"\\\u0000-\u001f]|\\(?:["\\/bfnrt]|u[0-9a-fA-F]{4}))*"/y,
  number: /-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?/y,
  word: /true|false|null/y,
}

interface Container {
  isList: boolean
  /** Names so far, for an object. */
  names: Set<string>
  /** Step from here to what is being read: a name, or a count of items. */
  step: string | number
}

type State = 'value' | 'item-or-end' | 'name-or-end' | 'name' | 'colon' | 'after'

class Scanner {
  readonly doubled: string[] = []
  private readonly json: string
  private readonly open: Container[] = []
  private offset = 0
  private state: State = 'value'

  constructor(json: string) {
    this.json = json
  }

  run(): JsonScan {
    for (;;) {
      this.take('space')
      if (this.state === 'after' && this.open.length === 0) {
        return this.offset === this.json.length ? { doubled: this.doubled } : this.fault('the end of the text')
      }
      const expected = this.step()
      if (expected !== undefined) return this.fault(expected)
    }
  }

  private fault(expected: string): JsonScan {
    return { fault: { offset: this.offset, expected }, doubled: this.doubled }
  }

  /** Reads one token; returns what was wanted instead when it does not fit. */
  private step(): string | undefined {
    switch (this.state) {
      case 'value':
        return this.value() ? undefined : 'a value'
      case 'item-or-end':
        return this.close(']') || this.value() ? undefined : 'a value or ]'
      case 'name-or-end':
        return this.close('}') || this.name() ? undefined : 'a name in double quotes or }'
      case 'name':
        return this.name() ? undefined : 'a name in double quotes'
      case 'colon':
        return this.character(':', 'value') ? undefined : 'a colon'
      case 'after':
        return this.comma()
    }
  }

  private comma(): string | undefined {
    const container = this.open.at(-1)
    if (container === undefined) return 'the end of the text'
    const end = container.isList ? ']' : '}'
    if (this.character(',', container.isList ? 'value' : 'name')) {
      if (typeof container.step === 'number') container.step++
      return undefined
    }
    return this.close(end) ? undefined : `a comma or ${end}`
  }

  private value(): boolean {
    if (this.character('{', 'name-or-end')) return this.enter(false)
    if (this.character('[', 'item-or-end')) return this.enter(true)
    const isValue = (this.take('string') ?? this.take('word') ?? this.take('number')) !== undefined
    if (isValue) this.state = 'after'
    return isValue
  }

  private enter(isList: boolean): true {
    this.open.push({ isList, names: new Set(), step: isList ? 0 : '' })
    return true
  }

  private name(): boolean {
    const text = this.take('string')
    const container = this.open.at(-1)
    if (text === undefined || container === undefined) return false
    const name = JSON.parse(text) as string
    container.step = name
    if (container.names.has(name) && this.doubled.length < mostDoubled) this.doubled.push(this.pointer())
    container.names.add(name)
    this.state = 'colon'
    return true
  }

  private close(end: ']' | '}'): boolean {
    const closes = this.character(end, 'after')
    if (closes) this.open.pop()
    return closes
  }

  private character(character: string, next: State): boolean {
    if (this.json[this.offset] !== character) return false
    this.offset++
    this.state = next
    return true
  }

  private take(kind: keyof typeof tokens): string | undefined {
    const token = tokens[kind]
    token.lastIndex = this.offset
    const text = token.exec(this.json)?.[0]
    if (text !== undefined) this.offset += text.length
    return text
  }

  private pointer(): string {
    return this.open.map(({ step }) => pointerStep(step)).join('')
  }
}

/** Scans a JSON text of any depth without recursion. */
export function scanJson(json: string): JsonScan {
  return new Scanner(json).run()
}

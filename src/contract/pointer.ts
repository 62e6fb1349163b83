/** A name as one step of a JSON Pointer (RFC 6901). */
export const pointerStep = (name: string | number) => `/${String(name).replaceAll('~', '~0').replaceAll('/', '~1')}`

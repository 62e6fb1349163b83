/** An item of a list at an index that is known to be one of its own. */
export function itemAt<Item>(list: ArrayLike<Item>, index: number): Item {
  // eslint-disable-next-line @typescript-eslint/no-non-null-assertion -- the caller knows
  return list[index]!
}

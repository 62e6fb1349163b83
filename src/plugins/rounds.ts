// Answers in rounds: questions that came in together are answered one after the other, after all of them were read and
// before any answer is sent. Each system call leaves the caches of a processor cold, and an answer between two of them
// takes up to twice its time.

/** Runs work in a round; settles as the work does, when the round is over. */
export type Rounds = <Result>(work: () => Result) => Promise<Result>

const ROUND_MILLISECONDS = 1

/**
 * @param milliseconds  so long a round may go on beginning work; what waits then is in the next one, after the results of
 *   this one were taken up
 */
export function buildRounds(milliseconds = ROUND_MILLISECONDS): Rounds {
  let waiting: (() => void)[] = []

  const round = (): void => {
    const end = performance.now() + milliseconds
    let begun = 0
    for (const work of waiting) {
      work()
      begun++
      if (performance.now() > end) break
    }
    waiting = waiting.slice(begun)
    if (waiting.length > 0) setImmediate(round)
  }

  return (work) =>
    new Promise((resolve) => {
      waiting.push(() => {
        // What an executor throws becomes the rejection.
        resolve(
          new Promise((settle) => {
            settle(work())
          }),
        )
      })
      // What comes in with this turn of the event loop comes before its immediates.
      if (waiting.length === 1) setImmediate(round)
    })
}

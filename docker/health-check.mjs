// The image's HEALTHCHECK: exits 0 when the server in this container is alive, 1 when it isn't.
const url = `http://127.0.0.1:${process.env.PORT ?? '8080'}/health/live`

try {
  const answer = await fetch(url, { signal: AbortSignal.timeout(4000) })
  await answer.arrayBuffer()
  if (!answer.ok) throw new Error(`answered ${answer.status}`)
} catch (error) {
  console.error(`${url}: ${error.cause?.message ?? error.message}`)
  process.exitCode = 1
}

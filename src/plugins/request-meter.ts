// Counts and durations of requests by method, route and status, in the Prometheus text format. Plain numbers that become
// text when they are read: a library's counters look all labels up again for every request.

/** Upper bounds of the duration buckets, in seconds. */
const BUCKETS_SECONDS = [0.001, 0.003, 0.01, 0.03, 0.1, 0.3, 1, 3] as const

interface Series {
  method: string
  status: number
  /** As the text format wants them. */
  labels: string
  count: number
  sumSeconds: number
  /** Requests whose duration falls into a bucket and into none before it; the last one has no bound. */
  buckets: number[]
}

export class RequestMeter {
  private readonly byRoute = new Map<string, Series[]>()

  observe(method: string, route: string, status: number, seconds: number): void {
    const series = this.seriesOf(method, route, status)
    series.count++
    series.sumSeconds += seconds
    let bucket = 0
    while (bucket < BUCKETS_SECONDS.length && seconds > (BUCKETS_SECONDS[bucket] ?? Infinity)) bucket++
    series.buckets[bucket] = (series.buckets[bucket] ?? 0) + 1
  }

  private seriesOf(method: string, route: string, status: number): Series {
    let ofRoute = this.byRoute.get(route)
    if (ofRoute === undefined) this.byRoute.set(route, (ofRoute = []))
    const known = ofRoute.find((series) => series.method === method && series.status === status)
    if (known !== undefined) return known
    // Neither an HTTP method nor a path of this service holds a character that would need escaping.
    const labels = `method="${method}",route="${route}",status="${status}"`
    const buckets = Array<number>(BUCKETS_SECONDS.length + 1).fill(0)
    const fresh = { method, status, labels, count: 0, sumSeconds: 0, buckets }
    ofRoute.push(fresh)
    return fresh
  }

  text(): string {
    const all = [...this.byRoute.values()].flat()
    return [
      '# HELP http_requests_total Requests answered.',
      '# TYPE http_requests_total counter',
      ...all.map(({ labels, count }) => `http_requests_total{${labels}} ${count}`),
      '',
      '# HELP http_request_duration_seconds Time from the head of a request to the end of its answer.',
      '# TYPE http_request_duration_seconds histogram',
      ...all.flatMap(durationLines),
      '',
    ].join('\n')
  }
}

/** A series as the text format wants it: buckets that count everything up to their bound. */
function durationLines({ labels, count, sumSeconds, buckets }: Series): string[] {
  const name = 'http_request_duration_seconds'
  let upTo = 0
  const cumulative = [...BUCKETS_SECONDS, '+Inf'].map((bound, index) => {
    upTo += buckets[index] ?? 0
    return `${name}_bucket{le="${bound}",${labels}} ${upTo}`
  })
  return [...cumulative, `${name}_sum{${labels}} ${sumSeconds}`, `${name}_count{${labels}} ${count}`]
}

import t from 'tap'
import { RequestMeter } from '../../src/plugins/request-meter.ts'

void t.test('a meter counts, sums and sorts durations into cumulative buckets', (t) => {
  const meter = new RequestMeter()
  for (const seconds of [0.0005, 0.001, 0.002, 0.2, 5]) meter.observe('GET', '/a', 200, seconds)
  meter.observe('GET', '/a', 404, 0.02)
  t.equal(
    meter.text(),
    `# HELP http_requests_total Requests answered.
# TYPE http_requests_total counter
http_requests_total{method="GET",route="/a",status="200"} 5
http_requests_total{method="GET",route="/a",status="404"} 1

# HELP http_request_duration_seconds Time from the head of a request to the end of its answer.
# TYPE http_request_duration_seconds histogram
http_request_duration_seconds_bucket{le="0.001",method="GET",route="/a",status="200"} 2
http_request_duration_seconds_bucket{le="0.003",method="GET",route="/a",status="200"} 3
http_request_duration_seconds_bucket{le="0.01",method="GET",route="/a",status="200"} 3
http_request_duration_seconds_bucket{le="0.03",method="GET",route="/a",status="200"} 3
http_request_duration_seconds_bucket{le="0.1",method="GET",route="/a",status="200"} 3
http_request_duration_seconds_bucket{le="0.3",method="GET",route="/a",status="200"} 4
http_request_duration_seconds_bucket{le="1",method="GET",route="/a",status="200"} 4
http_request_duration_seconds_bucket{le="3",method="GET",route="/a",status="200"} 4
http_request_duration_seconds_bucket{le="+Inf",method="GET",route="/a",status="200"} 5
http_request_duration_seconds_sum{method="GET",route="/a",status="200"} 5.2035
http_request_duration_seconds_count{method="GET",route="/a",status="200"} 5
http_request_duration_seconds_bucket{le="0.001",method="GET",route="/a",status="404"} 0
http_request_duration_seconds_bucket{le="0.003",method="GET",route="/a",status="404"} 0
http_request_duration_seconds_bucket{le="0.01",method="GET",route="/a",status="404"} 0
http_request_duration_seconds_bucket{le="0.03",method="GET",route="/a",status="404"} 1
http_request_duration_seconds_bucket{le="0.1",method="GET",route="/a",status="404"} 1
http_request_duration_seconds_bucket{le="0.3",method="GET",route="/a",status="404"} 1
http_request_duration_seconds_bucket{le="1",method="GET",route="/a",status="404"} 1
http_request_duration_seconds_bucket{le="3",method="GET",route="/a",status="404"} 1
http_request_duration_seconds_bucket{le="+Inf",method="GET",route="/a",status="404"} 1
http_request_duration_seconds_sum{method="GET",route="/a",status="404"} 0.02
http_request_duration_seconds_count{method="GET",route="/a",status="404"} 1
`,
  )
  t.end()
})

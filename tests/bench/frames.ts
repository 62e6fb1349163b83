// Frames against numpy and astropy on the same file in the same run: `node .build/tests/bench/frames.js [rounds]`.
// `PYTHON` names the Python that has them. A 26-megapixel, 16-bit frame is simulated once; then the service, this library
// and Python take turns, each in a process of its own and warmed up; all of them read the file, and the service is sent it
// as it is read. The middle of the rounds tells what a caller waits, the best one what a busy machine hides.

import { fork, spawn, spawnSync } from 'node:child_process'
import { once } from 'node:events'
import { createReadStream, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { request, type IncomingMessage } from 'node:http'
import type { AddressInfo } from 'node:net'
import { loadavg, tmpdir } from 'node:os'
import { join } from 'node:path'
import { monitorEventLoopDelay } from 'node:perf_hooks'
import { createInterface } from 'node:readline'
import { fileURLToPath } from 'node:url'

import { buildApp } from '../../src/app.ts'
import { readConfig } from '../../src/config.ts'
import type { FramesAnswer } from '../../src/contract/frames.ts'
import { FramePool, frameStatistics, type FrameStatistics } from '../../src/frames/index.ts'
import { frames } from '../../src/routes/frames/index.ts'
import { unsignedFile } from '../frames/support/fits-file.ts'
import { simulate, starField } from '../frames/support/simulate.ts'

const WIDTH_PX = 6240
const HEIGHT_PX = 4168
const FRAME_MEGABYTES = (WIDTH_PX * HEIGHT_PX * 2) / 1e6
const SKY_ELECTRONS = 300
const READ_NOISE_ELECTRONS = 2
const ELECTRONS_PER_ADU = 0.8
const OFFSET_ADU = 500
const SKY_ADU = OFFSET_ADU + SKY_ELECTRONS / ELECTRONS_PER_ADU
/** Photon noise, read noise and rounding. */
const NOISE_ADU = Math.sqrt((SKY_ELECTRONS + READ_NOISE_ELECTRONS ** 2) / ELECTRONS_PER_ADU ** 2 + 1 / 12)
const WARM_UP = 6
const PYTHON = process.env.PYTHON ?? 'python3'

const PYTHON_SCRIPT = `
import json, sys, time
import numpy
from astropy.io import fits
for line in sys.stdin:
    wall, cpu = time.perf_counter(), time.process_time()
    data = fits.getdata(sys.argv[1])
    median = numpy.median(data)
    mad = numpy.median(numpy.abs(data - median))
    wallMs, cpuMs = 1e3 * (time.perf_counter() - wall), 1e3 * (time.process_time() - cpu)
    print(json.dumps({"wallMs": wallMs, "cpuMs": cpuMs, "median": float(median), "mad": float(mad)}), flush=True)
`

interface Timing {
  wallMs: number
  cpuMs: number
}

interface Middle {
  median: number
  mad: number
}

interface Measured {
  request: Timing[]
  statistics: (Timing & Middle)[]
  /** Empty where Python or its libraries are not there. */
  python: (Timing & Middle)[]
  loopDelayP99Ms: number[]
  loopDelayMaxMs: number[]
  peakFrames: number[]
  background: number
  noise: number
}

/** What the process of the service tells of itself since it was last asked. */
interface ServerState {
  cpuMs: number
  loopDelayP99Ms: number
  loopDelayMaxMs: number
  peakBytes: number
}

/** The service in a process of its own, which tells its port first and then its state whenever asked. */
async function serve(): Promise<void> {
  const app = await buildApp({ endpoints: [frames], config: readConfig({ LOG_LEVEL: 'silent' }) })
  await app.listen({ host: '127.0.0.1', port: 0 })
  const delay = monitorEventLoopDelay({ resolution: 1 })
  delay.enable()
  let peakBytes = process.memoryUsage.rss()
  setInterval(() => (peakBytes = Math.max(peakBytes, process.memoryUsage.rss())), 5)
  process.on('message', () => {
    const { user, system } = process.cpuUsage()
    const loopDelay = { loopDelayP99Ms: delay.percentile(99) / 1e6, loopDelayMaxMs: delay.max / 1e6 }
    process.send?.({ cpuMs: (user + system) / 1e3, ...loopDelay, peakBytes } satisfies ServerState)
    delay.reset()
    peakBytes = process.memoryUsage.rss()
  })
  process.send?.((app.server.address() as AddressInfo).port)
}

/** Asks a process of Python's for one round after the other. */
function pythonRounds(file: string) {
  const python = spawn(PYTHON, ['-c', PYTHON_SCRIPT, file], { stdio: ['pipe', 'pipe', 'ignore'] })
  python.stdin.on('error', () => undefined)
  const lines = createInterface(python.stdout)[Symbol.asyncIterator]()
  return {
    round: async (): Promise<(Timing & Middle)[]> => {
      python.stdin.write('\n')
      const next: IteratorResult<string, undefined> = await lines.next()
      return next.done ? [] : [JSON.parse(next.value) as Timing & Middle]
    },
    end: () => python.stdin.end(),
  }
}

/** The service, asked for its state before and after what it does. */
async function service(file: string) {
  const server = fork(fileURLToPath(import.meta.url), ['serve'])
  const [port] = (await once(server, 'message')) as [number]
  const state = async (): Promise<ServerState> => {
    server.send('state')
    return ((await once(server, 'message')) as [ServerState])[0]
  }
  const request = async () => {
    const before = await state()
    const started = performance.now()
    const answer = await upload(port, file)
    const wallMs = performance.now() - started
    const after = await state()
    return { answer, after, timing: { wallMs, cpuMs: after.cpuMs - before.cpuMs } }
  }
  return { resting: await state(), request, end: () => server.kill() }
}

async function measure(file: string, rounds: number): Promise<Measured> {
  const server = await service(file)
  const python = pythonRounds(file)
  const pool = new FramePool({ threads: 1 })
  const measured: Measured = {
    ...{ request: [], statistics: [], python: [] },
    ...{ loopDelayP99Ms: [], loopDelayMaxMs: [], peakFrames: [], background: NaN, noise: NaN },
  }
  for (let round = -WARM_UP; round < rounds; round++) {
    const { answer, after, timing } = await server.request()
    const statistics = await timed(() => frameStatistics(fileStream(file), { pool }))
    const theirs = await python.round()
    if (round < 0) continue
    measured.request.push(timing)
    measured.statistics.push(statistics)
    measured.python.push(...theirs)
    measured.loopDelayP99Ms.push(after.loopDelayP99Ms)
    measured.loopDelayMaxMs.push(after.loopDelayMaxMs)
    // Before its first frame the process held no picture; since then it keeps the memory of one.
    measured.peakFrames.push((after.peakBytes - server.resting.peakBytes) / (FRAME_MEGABYTES * 1e6))
    measured.background = answer.background.adu
    measured.noise = answer.noise.adu
  }
  server.end()
  python.end()
  return measured
}

async function upload(port: number, file: string): Promise<FramesAnswer> {
  const headers = { 'content-type': 'application/fits', 'content-length': statSync(file).size }
  const sending = request({ port, host: '127.0.0.1', method: 'POST', path: '/v1/frames?offsetAdu=500', headers })
  const answered = once(sending, 'response') as Promise<[IncomingMessage]>
  fileStream(file).pipe(sending)
  const [response] = await answered
  const text = Buffer.concat((await response.toArray()) as Buffer[]).toString()
  if (response.statusCode !== 200) throw new Error(text)
  return JSON.parse(text) as FramesAnswer
}

const fileStream = (file: string) => createReadStream(file, { highWaterMark: 1 << 20 })

async function timed(work: () => Promise<FrameStatistics>): Promise<Timing & Middle> {
  const wall = performance.now()
  const cpu = process.cpuUsage()
  const { planes } = await work()
  const used = process.cpuUsage(cpu)
  const timing = { wallMs: performance.now() - wall, cpuMs: (used.user + used.system) / 1e3 }
  return { ...timing, median: planes[0]?.medianAdu ?? NaN, mad: planes[0]?.madAdu ?? NaN }
}

function make(file: string): void {
  const [widthPx, heightPx] = [WIDTH_PX, HEIGHT_PX]
  const stars = starField({ seed: 1, count: 2000, widthPx, heightPx, faintest: 500, brightest: 3e5, fwhmPx: 3.2 })
  const adu = simulate({
    widthPx,
    heightPx,
    seed: 2,
    skyElectrons: SKY_ELECTRONS,
    acrossWidthElectrons: 40,
    acrossHeightElectrons: -25,
    readNoiseElectrons: READ_NOISE_ELECTRONS,
    electronsPerAdu: ELECTRONS_PER_ADU,
    offsetAdu: OFFSET_ADU,
    stars,
    hotShare: 1e-4,
    hotElectrons: 2e4,
  })
  writeFileSync(file, unsignedFile(adu, [widthPx, heightPx]))
}

type Choice = 'middle' | 'best'

function chosen(numbers: readonly number[], choice: Choice): number {
  const sorted = numbers.toSorted((one, other) => one - other)
  return sorted[choice === 'best' ? 0 : sorted.length >> 1] ?? NaN
}

function report({ request, statistics, python, ...rest }: Measured): string {
  const figure = (timings: readonly Timing[], of: keyof Timing, choice: Choice) =>
    chosen(
      timings.map((timing) => timing[of]),
      choice,
    )
  const line = (name: string, timings: readonly Timing[]): string => {
    const pair = (of: keyof Timing) =>
      `${figure(timings, of, 'middle').toFixed(0)} (best ${figure(timings, of, 'best').toFixed(0)}) ms`
    return `${name.padEnd(28)} wall ${pair('wallMs')}, processor ${pair('cpuMs')}`
  }
  const ratio = (name: string, timings: readonly Timing[]): string => {
    const times = (of: keyof Timing, choice: Choice) =>
      (figure(python, of, choice) / figure(timings, of, choice)).toFixed(1)
    return `${name}: ${times('wallMs', 'middle')} times faster by the clock (best ${times('wallMs', 'best')}), ${times('cpuMs', 'middle')} (best ${times('cpuMs', 'best')}) in processor time`
  }
  const same = python.every(({ median, mad }) => median === statistics.at(-1)?.median && mad === statistics.at(-1)?.mad)
  return [
    `load of the machine ${loadavg()
      .map((load) => load.toFixed(1))
      .join(', ')}; ${request.length} rounds`,
    line('whole request over HTTP', request),
    line('statistics only', statistics),
    ...(python.length > 0
      ? [
          line('numpy + astropy median, MAD', python),
          ratio('request', request),
          ratio('statistics', statistics),
          `same numbers: ${same}`,
        ]
      : ['numpy and astropy are not here to compare with']),
    `background ${rest.background.toFixed(3)} ADU, true ${SKY_ADU.toFixed(3)}; noise ${rest.noise.toFixed(3)} ADU, true ${NOISE_ADU.toFixed(3)}`,
    `event-loop delay p99 ${chosen(rest.loopDelayP99Ms, 'middle').toFixed(1)} ms in the middle round (worst ${Math.max(...rest.loopDelayP99Ms).toFixed(1)}), longest of all ${Math.max(...rest.loopDelayMaxMs).toFixed(1)} ms`,
    `peak memory over the resting process: ${Math.max(...rest.peakFrames).toFixed(2)} times the frame`,
    '',
  ].join('\n')
}

async function run(rounds: number): Promise<void> {
  const folder = mkdtempSync(join(tmpdir(), 'frames-bench-'))
  const file = join(folder, 'frame.fits')
  try {
    spawnSync(process.execPath, [fileURLToPath(import.meta.url), 'make', file])
    process.stdout.write(report(await measure(file, rounds)))
  } finally {
    rmSync(folder, { recursive: true })
  }
}

const [mode, file] = process.argv.slice(2)
if (mode === 'make' && file) make(file)
else if (mode === 'serve') await serve()
else await run(Number(mode ?? 12))

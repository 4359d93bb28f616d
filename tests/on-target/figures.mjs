// Every figure of the cost, gathered once. What may take long runs in processes of its own, two at a time.

import { execFile } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { promisify } from 'node:util';
import { readElf } from '../../controller/boards/pico/elf.mjs';
import { asWebAssembly, onHost, onM4 } from './played.mjs';
import { byStage, byStageInFloat, profile } from './profile.mjs';
import { forbidden, functions, reached } from './reach.mjs';
import { otherwise } from './timing.mjs';
import { fresh, sowing } from './work.mjs';

export { otherwise };

const SIDES = [1, 2, 4];
// Stages of the core that the law in f32 has as well.
export const COMPARED = ['ground speed', 'demand', 'shaft speed', 'drive'];

const run = promisify(execFile);
const here = (file) => new URL(file, import.meta.url).pathname;

async function onM0(elf, trace) {
  const { stdout } = await run('node', [here('m0.mjs'), elf, trace]);
  return JSON.parse(stdout);
}

// The same trace four times, and once more with one bit of one input turned over.
export async function processors({ host, m4, m0, wasm, traces }) {
  const trace = `${traces}/all.trace`;
  const [cycles, onWasm] = await Promise.all([onM0(m0, trace), asWebAssembly(wasm, trace)]);
  const counted = onM4(m4, trace);
  return { host: onHost(host, trace), m4: counted, m0: cycles, wasm: onWasm, flipped: onHost(host, `${traces}/flipped.trace`) };
}

export async function ticks({ m4, m0, traces }) {
  const rows = [];
  for (const sides of SIDES) {
    const trace = `${traces}/sides-${sides}.trace`;
    rows.push({ sides, m0: await onM0(m0, trace), m4: onM4(m4, trace) });
  }
  return rows;
}

// Two sides by stage: mean, and the worst tick.
export function stages({ m0, traces }) {
  const [have] = profile(m0, `${traces}/sides-2.trace`, ['tick_of_core']);
  const [mean, worst] = [byStage(have.known, have.whole), byStage(have.known, have.worstPath)];
  return [...mean].map(([stage, cycles]) => ({ stage, mean: cycles / have.ticks, worst: worst.get(stage) ?? 0 }));
}

// The law in f32 against the same stages of the core, on two sides over a ramp.
export function inFloat({ float, traces }) {
  return ['pulses', 'receiver'].map((source) => {
    const [core, other] = profile(float, `${traces}/ramp-${source}.trace`, ['tick_of_core', 'tick_in_float']);
    const sum = (have, by, counts) => [...by(have.known, have.whole)]
      .filter(([stage]) => counts(stage)).reduce((sum, [, cycles]) => sum + cycles, 0) / have.ticks;
    return { source, fixed: sum(core, byStage, (stage) => COMPARED.includes(stage)),
      float: sum(other, byStageInFloat, (stage) => stage !== 'order'), whole: core.mean, said: other.said };
  });
}

// Text of the functions that the tick reaches, and what must not be among them; with what the search finds where it must.
export function symbols({ objdump, image, float }) {
  const [ours, other] = [image, float].map((file) => functions(objdump, file));
  const entry = [...ours.keys()].find((name) => name.includes('__cortex_m_rt_main') && !name.includes('trampoline')) ?? 'main';
  const ways = reached(ours, 'tick_of_core');
  const kinds = (known, word) => new Set(forbidden(known, reached(known, word)).map((it) => it.kind));
  const sizes = new Map(readElf(readFileSync(image)).symbols.filter((it) => it.size > 0).map((it) => [it.address & ~1, it]));
  const text = [...sizes.values()].filter((it) => ways.has(it.name)).reduce((sum, it) => sum + it.size, 0);
  return { found: forbidden(ours, ways), count: ways.size, text, controls: {
    panic: kinds(ours, entry).has('panic'),
    'wide division': kinds(ours, entry).has('wide division'),
    float: kinds(other, 'tick_in_float').has('float'),
  } };
}

// The image at work: two sides at 2 m/s, every cycle that it does not sleep, and its stack.
export function atWork({ image, settings }) {
  const elf = readElf(readFileSync(image));
  const bytes = new Uint8Array(readFileSync(settings));
  const start = fresh(elf, bytes).board.stack();
  const { board } = sowing(elf, bytes, { until: 3 });
  board.paint();
  const { core } = board.chip;
  const execute = core.executeInstruction.bind(core);
  let busy = 0;
  core.executeInstruction = () => {
    const cycles = execute();
    busy += cycles;
    return cycles;
  };
  const [from, before] = [board.seconds, board.ticks.length];
  board.run(from + 2);
  const own = board.ticks.slice(before).map((it) => it.cycles);
  return { start, stack: board.stack(), tickStack: Math.max(...board.ticks.map((it) => it.stack)),
    share: busy / (125e6 * (board.seconds - from)), worst: Math.max(...own),
    mean: own.reduce((sum, it) => sum + it, 0) / own.length };
}

// Where the cycles of a tick go: by stage, by function, by line. node profile.mjs ELF TRACE prints all of it; ELF is
// `trace/arm` for the M0+.
//
//   program counter ─► chain of inlined functions ─┐
//   calls on the way (shadow stack) ───────────────┴─► whole chain ─► stage
//
// Arithmetic helpers (multiplication and division of the compiler's library, `quantity`) are charged to the stage that
// calls them.

import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { readElf } from '../../controller/boards/pico/elf.mjs';
import { onM0 } from './played.mjs';

// The stages by the modules of the core; a module that is not named is a stage of its own name. Those of null only call
// others: what they do themselves is `order`.
const STAGES = [
  [/^(controller|side|lib|inputs|outputs|accounts)$|^(state|settings|quantity)\//, null],
  [/^drive\/(shaft|sparse)$/, 'shaft speed'],
  [/^drive/, 'drive'],
  [/^sense\/(yaw|course)$/, 'yaw'],
  [/^sense\/lift$/, 'lift'],
  [/^sense/, 'ground speed'],
  [/^(line|place)$/, 'places'],
  [/^(tally|passed)$/, 'tally'],
  [/^(watch|blind)/, 'watch'],
  [/^(run|measure)/, 'runs'],
  [/^(demand|seed)/, 'demand'],
];
const OWN = /\/controller\/src\/(.*?)(\/mod)?\.rs$/;
const OWN_IN_FLOAT = /\/float\/src\/(.*)\.rs$/;

// One node a call path: cycles by program counter, and how often it was called.
class Path {
  constructor(site) { Object.assign(this, { site, below: new Map(), counters: new Map(), calls: 0 }); }

  call(site, entry) {
    let path = this.below.get(site);
    if (!path) this.below.set(site, path = new Path(site));
    path.calls += 1;
    path.entry = entry;
    return path;
  }

  walk(act, sites = []) {
    act(this, sites);
    for (const path of this.below.values()) path.walk(act, [path.site, ...sites]);
  }
}

// Runs a tick with a shadow stack. A BL whose target is no function's entry is a far jump.
function follow(core, root, entries) {
  const [back, top] = [core.LR & ~1, core.SP];
  const stack = [{ path: root }];
  let cycles = 0;
  let called = null;
  core.blTaken = () => { called = core.LR & ~1; };
  while (core.PC !== back || core.SP !== top) {
    const counter = core.PC;
    called = null;
    const took = core.executeInstruction();
    cycles += took;
    const { path, back, sp } = stack[stack.length - 1];
    const cell = path.counters.get(counter);
    if (cell) cell.cycles += took;
    else path.counters.set(counter, { cycles: took });
    if (called !== null && entries.has(core.PC)) stack.push({ path: path.call(counter, core.PC), back: called, sp: core.SP });
    else if (core.PC === back && core.SP === sp) stack.pop();
  }
  core.blTaken = () => {};
  return cycles;
}

const plain = (name) => name.replace(/<impl [^>]*>::/g, '').replace(/::h[0-9a-f]{16}$/, '').replace(/\[[0-9a-f]{8,}\]/g, '');

// The chain of inlined functions at each program counter, the innermost first.
function chains(file, counters) {
  const input = counters.map((it) => `0x${it.toString(16)}\n`).join('');
  const options = [`--obj=${file}`, '--output-style=JSON', '--demangle', '--inlines', '--functions=linkage'];
  const lines = execFileSync('llvm-symbolizer', options, { input, encoding: 'utf8', maxBuffer: 1 << 28 }).trim().split('\n');
  return new Map(lines.map((line, index) => [counters[index], JSON.parse(line).Symbol.map((it) => ({
    name: plain(it.FunctionName), line: it.Line, own: it.FileName.match(OWN)?.[1] ?? null, float: it.FileName.match(OWN_IN_FLOAT)?.[1] ?? null, file: it.FileName.split('/').slice(-2).join('/'),
  }))]));
}

// From the outside in: the first stage that it comes to. Within the drive the measurement of the shaft stands apart.
function stage(frames) {
  const stages = frames.filter((it) => it.own !== null).map(({ own }) => {
    const known = STAGES.find(([modules]) => modules.test(own));
    return known ? known[1] : own;
  }).filter((it) => it !== null).reverse();
  if (stages[0] === 'drive' && stages.includes('shaft speed')) return 'shaft speed';
  return stages[0] ?? 'order';
}

// Mean and worst call in a trace of each function whose symbol holds one of `words`; cycles by path in both.
export function profile(file, trace, words) {
  const elf = readElf(readFileSync(file));
  const entries = new Set(elf.symbols.filter((it) => it.size > 0).map((it) => it.address & ~1));
  const all = words.map(() => ({ ticks: 0, sum: 0, worst: 0, whole: new Path(null) }));
  const meet = words.map((word, index) => [word, (core) => {
    const root = new Path(null);
    const have = all[index];
    const cycles = follow(core, root, entries);
    have.ticks += 1;
    have.sum += cycles;
    if (cycles > have.worst) Object.assign(have, { worst: cycles, worstPath: root, at: have.ticks });
    merge(have.whole, root);
  }]);
  const said = onM0(file, trace, Object.fromEntries(meet));
  const counters = new Set();
  for (const { whole } of all) {
    whole.walk((path) => {
      if (path.site !== null) counters.add(path.site);
      for (const counter of path.counters.keys()) counters.add(counter);
    });
  }
  const known = chains(file, [...counters]);
  return all.map((have) => ({ ...have, mean: have.sum / have.ticks, said, elf, known }));
}

function merge(into, from) {
  for (const [counter, { cycles }] of from.counters) {
    const cell = into.counters.get(counter);
    if (cell) cell.cycles += cycles;
    else into.counters.set(counter, { cycles });
  }
  for (const [site, path] of from.below) {
    const below = into.call(site, path.entry);
    below.calls += path.calls - 1;
    merge(below, path);
  }
}

// Cycles by what `keys` says of a whole chain, the most first.
export function by(known, root, keys) {
  const cycles = new Map();
  root.walk((path, sites) => {
    const callers = sites.flatMap((site) => known.get(site));
    for (const [counter, cell] of path.counters) {
      const frames = [...known.get(counter), ...callers];
      for (const key of new Set(keys(frames))) cycles.set(key, (cycles.get(key) ?? 0) + cell.cycles);
    }
  });
  return new Map([...cycles].sort((a, b) => b[1] - a[1]));
}

export const byStage = (known, root) => by(known, root, (frames) => [stage(frames)]);

// Of the law in f32: what only calls others is `order` there too.
export const byStageInFloat = (known, root) => by(known, root, (frames) =>
  [frames.map((it) => it.float).findLast((it) => it !== null && it !== 'lib' && it !== 'beside') ?? 'order']);

function print(title, { ticks, known, whole, worstPath }, keys, most) {
  const [all, worst] = [by(known, whole, keys), by(known, worstPath, keys)];
  console.log(`\n${title}: cycles in the mean and in the worst tick`);
  for (const [key, cycles] of [...all].slice(0, most)) {
    console.log(`${(cycles / ticks).toFixed(1).padStart(9)} ${String(worst.get(key) ?? 0).padStart(7)}  ${key}`);
  }
}

function printCalls({ ticks, elf, whole }) {
  const calls = new Map();
  whole.walk((path) => { if (path.calls > 0) calls.set(path.entry, (calls.get(path.entry) ?? 0) + path.calls); });
  console.log('\ncalls in a tick');
  for (const [entry, count] of [...calls].sort((a, b) => b[1] - a[1]).slice(0, 40)) {
    console.log(`${(count / ticks).toFixed(1).padStart(9)}  ${elf.symbols.find((it) => it.size > 0 && (it.address & ~1) === entry).name}`);
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [have] = profile(process.argv[2], process.argv[3], ['tick_of_core']);
  const owned = (frames) => frames.find((it) => it.own !== null && !it.own.startsWith('quantity/'));
  const named = (it) => `${it.name}  ${it.own ?? it.file}`;
  console.log(`${have.ticks} ticks, mean ${have.mean.toFixed(0)}, worst ${have.worst} cycles, the tick ${have.at}`);
  print('stages', have, (frames) => [stage(frames)], 99);
  print('modules, helpers charged to the caller', have, (frames) => [owned(frames)?.own ?? '-'], 99);
  print('functions without what they call', have, (frames) => [named(frames[0])], 40);
  print('functions with all that they call', have, (frames) => frames.map(named), 80);
  print('lines outside helpers', have, (frames) => [owned(frames)].filter(Boolean).map((it) => `${it.own}:${it.line} ${it.name}`), 60);
  printCalls(have);
}

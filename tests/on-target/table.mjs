// The true cost of the core and of the image, as a table: node table.mjs WAY FILE.. from the script `cost`.
//
// WAY is `print`, `write` (the table goes between the two marks in the document) or `check` (it must be there already). The last
// line says how many checks passed and failed.

import { readFileSync, writeFileSync } from 'node:fs';
import * as figures from './figures.mjs';

const [way, document, programs] = process.argv.slice(2);
const given = JSON.parse(readFileSync(programs, 'utf8'));
const MARKS = ['<!-- cost: begin -->', '<!-- cost: end -->'];
// A figure with this sign may differ by 2 % from one computer to the next: the image holds the names of its source files.
const ABOUT = '≈';
const WITHIN = 0.02;

// The bars for two sides. One that is enforced fails the check; any that is missed says so in the table.
const BARS = {
  tick: { most: 10_000, unit: 'cycles', enforced: true },
  text: { most: 24 * 1024, unit: 'bytes', enforced: true },
  state: { most: 2_048, unit: 'bytes', enforced: true },
  stack: { most: 2_048, unit: 'bytes', enforced: true },
  symbols: { most: 0, unit: '', enforced: true },
};
const F32_APART_PPM = 5_000; // of full command
const LEAST_TICKS = 60_000;

let [passed, failed] = [0, 0];
function check(name, holds, said) {
  if (holds) passed += 1;
  else failed += 1;
  console.log(`${holds ? 'ok     ' : 'FAILED '} ${name}\n        ${said}`);
}

const whole = (value) => String(Math.round(value)).replace(/\B(?=(\d{3})+$)/g, ',');
const row = (...cells) => `| ${cells.join(' | ')} |`;
const head = (...cells) => `${row(...cells)}\n${row(...cells.map(() => '---'))}`;

function bar(name, have) {
  const { most, unit, enforced } = BARS[name];
  const met = have <= most;
  if (enforced) check(`the bar of ${name}`, met, `${whole(have)}, at most ${whole(most)} ${unit}`);
  return `${whole(most)}: ${met ? 'met' : '**MISSED**'}`;
}

async function sameNumbers() {
  const { host, m4, m0, wasm, flipped } = await figures.processors(given);
  const all = { host, 'Cortex-M4': m4, 'Cortex-M0+': m0, WebAssembly: wasm };
  const sums = Object.entries(all).map(([name, it]) => `${name} ${it.sum} over ${it.ticks} ticks`).join(', ');
  const same = Object.values(all).every((it) => it.sum === host.sum && it.ticks === host.ticks);
  check('the same numbers everywhere', same && host.ticks >= LEAST_TICKS && /^[0-9a-f]{8}$/.test(host.sum), sums);
  check('one bit of one input changes the sum', flipped.sum !== host.sum && flipped.ticks === host.ticks, `${flipped.sum} for ${host.sum}`);
  check('a loop of known length is counted as what it is', Math.abs(m4.loop - m4.of) <= 4, `${m4.loop} instructions of ${m4.of}`);
  return { long: m0, ticks: host.ticks };
}

async function cycles({ long, ticks }) {
  const rows = await figures.ticks(given);
  const each = (title, of, last = '') => row(title, ...rows.map((it) => of(it)), last);
  const two = rows.find((it) => it.sides === 2).m0;
  const stack = two.stack;
  const most = bar('tick', Math.max(two.worst, long.worst));
  return [head('a tick', '1 side', '2 sides', '4 sides', 'bar for 2 sides'),
    each('Cortex-M0+, mean, cycles', (it) => whole(it.m0.mean)),
    each('Cortex-M0+, worst, cycles', (it) => whole(it.m0.worst), most),
    each('share of an RP2040 at 125 MHz, 100 ticks a second, mean', (it) => `${(it.m0.mean * 100 / 125e4).toFixed(2)} %`),
    each('deepest stack of the tick, bytes', (it) => whole(it.m0.stack), bar('stack', stack)),
    each('Cortex-M4, mean, instructions', (it) => whole(it.m4.mean)),
    each('Cortex-M4, worst, instructions', (it) => whole(it.m4.worst)),
    '',
    `Over the long trace (${whole(ticks)} ticks: faults, wild inputs, every kind of valve and source) a tick takes ` +
    `${whole(long.mean)} cycles on the mean, ${whole(long.worst)} at the worst, and ${whole(long.stack)} bytes of stack. The bar is held against its ticks too.`].join('\n');
}

function byStages() {
  const rows = figures.stages(given).map(({ stage, mean, worst }) => row(stage, whole(mean), whole(worst)));
  return [head('stage, 2 sides, Cortex-M0+', 'mean, cycles', 'in the worst tick'), ...rows].join('\n');
}

function sizes() {
  const { probe, size } = given;
  const found = figures.symbols(given);
  for (const [kind, fires] of Object.entries(found.controls)) check(`the search finds a ${kind} where one is`, fires, fires ? 'found' : 'not found');
  const ways = found.found.map((it) => `${it.kind}: ${it.way.join(' → ')}`);
  if (ways.length > 0) console.log(ways.join('\n'));
  const work = figures.atWork(given);
  const text = Math.max(probe.m0, probe.m4);
  return [head('size, 2 sides', 'bytes', 'bar'),
    row('text of the tick with all it needs, linked for size: Cortex-M0+, Cortex-M4', `${whole(probe.m0)}, ${whole(probe.m4)}`, bar('text', text)),
    row('the same in the image, linked for speed: functions that the tick reaches', `${whole(found.text)} in ${found.count}`, ''),
    row('state of the controller', whole(probe.state), bar('state', probe.state)),
    row('image: flash', `${ABOUT} ${whole(size.flash)}`, ''),
    row('image: RAM beside the stack', whole(size.ram), ''),
    row('image: deepest stack at work, while it starts', `${whole(work.stack)}, ${whole(work.start)}`, ''),
    row('panic, soft float, 64-bit division, blind call: reached from the tick in the image', String(found.found.length), bar('symbols', found.found.length)),
    '',
    `The image at work at 2 m/s with pulses is awake for ${(work.share * 100).toFixed(1)} % of the time; its tick takes ${whole(work.mean)} cycles ` +
    `on the mean and ${whole(work.worst)} at the worst there.`].join('\n');
}

function inFloat() {
  const rows = figures.inFloat(given).map(({ source, fixed, float, whole: core, said }) => {
    check(`the law in f32 does what the core does, ${source}`, said.worst_ppm <= F32_APART_PPM && said.commands > 1_000,
      `${said.commands} commands, apart by ${said.apart_ppm} ppm of full command, at the worst ${said.worst_ppm}`);
    return row(`ramp 0.5 m/s², ${source}`, whole(fixed), whole(float), (float / fixed).toFixed(2), whole(core),
      `${(said.worst_ppm / 1e4).toFixed(2)} %`);
  });
  return [head('2 sides, Cortex-M0+, mean cycles of a tick', 'core: ' + figures.COMPARED.join(', '), 'the same in f32', 'f32 / core',
    'core: whole tick', 'commands apart by at most'), ...rows].join('\n');
}

// A figure that may differ is taken for equal within its bound.
function equal(have, want) {
  const [ours, theirs] = [have, want].map((text) => text.split('\n'));
  const number = (line) => Number(line.match(/≈ ([\d,]+)/)?.[1].replaceAll(',', ''));
  return ours.length === theirs.length && ours.every((line, index) => line === theirs[index] ||
    (line.includes(ABOUT) && Math.abs(number(line) / number(theirs[index]) - 1) <= WITHIN));
}

function place(table) {
  const text = readFileSync(document, 'utf8');
  const [from, to] = MARKS.map((mark) => text.indexOf(mark));
  if (from < 0 || to < from) throw new Error(`${document} has no ${MARKS.join(' … ')}`);
  const begin = from + MARKS[0].length;
  if (way === 'write') writeFileSync(document, `${text.slice(0, begin)}\n\n${table}\n\n${text.slice(to)}`);
  else check('the table of the document is that of this build', equal(text.slice(begin, to).trim(), table), document);
}

const other = figures.otherwise();
check('the emulator takes the cycles of the processor\'s table', other.length === 0, other.join(', ') || 'every kind of instruction');
const same = await sameNumbers();
const table = [await cycles(same), byStages(), sizes(), inFloat()].join('\n\n');
console.log(`\n${table}\n`);
if (way !== 'print') place(table);
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed === 0 ? 0 : 1;

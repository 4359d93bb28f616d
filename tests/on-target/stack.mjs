// How deep the stack is in each part of a beat: the lowest stack pointer while a function of the board's program runs.

import { strict as assert } from 'node:assert';
import { sowing } from './work.mjs';

const BAR = 2_048; // bytes
const MOST = 4_096;
// Functions of the program by what they do; none of them is inlined.
const PARTS = { tick: '5drill5Drill4tick', panel: '5drill5Drill4look', events: '5drill5Drill5event',
  'status line': '5drill5Drill6status', counts: '4keep3see', 'record of the counts': '4keep5write' };

function watch(board) {
  const { core } = board.chip;
  const begins = new Map(Object.entries(PARTS).map(([what, name]) => {
    const { address } = board.elf.symbols.find((it) => it.name.startsWith(`_ZN4pico${name}17h`));
    return [address & ~1, what];
  }));
  const [deepest, open] = [new Map(), []];
  const step = core.executeInstruction.bind(core);
  core.executeInstruction = () => {
    const cycles = step();
    if (core.IPSR === 0 && begins.has(core.PC)) open.push({ what: begins.get(core.PC), back: core.LR & ~1, sp: core.SP });
    const last = open.at(-1);
    if (last && core.PC === last.back && core.SP >= last.sp) open.pop();
    const what = open.at(-1)?.what ?? 'the rest';
    deepest.set(what, Math.max(deepest.get(what) ?? 0, board.stackTop - core.SP));
    return cycles;
  };
  return deepest;
}

export function theStackIsAsDeepAsTheDeepestPart({ elf, pulses }) {
  const { board } = sowing(elf, pulses.bytes, { until: 1.25 });
  const deepest = watch(board);
  board.run(5);
  for (const what of Object.keys(PARTS)) assert.ok(deepest.get(what) <= MOST, `${what}: ${deepest.get(what)} bytes`);
  return [...deepest].sort(([, one], [, other]) => other - one)
    .map(([what, bytes]) => `${what} ${bytes}${bytes > BAR ? ' MISSED' : ''}`).join(', ') + `; bar ${BAR} bytes`;
}

// Plays a trace on the emulated M0+ in a process of its own: node m0.mjs ELF TRACE prints what came out, as JSON.

import { onM0, through } from './played.mjs';

const [elf, trace] = process.argv.slice(2);
let [ticks, sum, worst, stack] = [0, 0, 0, 0];
const said = onM0(elf, trace, { tick_of_core: (core) => {
  const have = through(core);
  ticks += 1;
  sum += have.cycles;
  worst = Math.max(worst, have.cycles);
  stack = Math.max(stack, have.stack);
} });
console.log(JSON.stringify({ ...said, counted: ticks, mean: sum / ticks, worst, stack }));

// What the image costs on this processor, by the emulator's cycles as `timing.mjs` sets them right: they leave out the wait
// states of the flash and the entry and return of interrupts. The cost of the core by itself is in `figures.mjs`.

import { strict as assert } from 'node:assert';
import { fresh, sowing } from './work.mjs';
import { pin } from './pins.mjs';

const CYCLES_A_TICK = 1_250_000; // 10 ms at 125 MHz
const AIM = 10_000; // cycles
const AIM_STACK = 2_048; // bytes

function ticks(elf, { bytes }) {
  const { board } = sowing(elf, bytes, { until: 8 });
  const own = board.ticks.map((it) => it.cycles);
  assert.ok(own.length > 750, `${own.length} ticks`);
  const mean = own.reduce((sum, it) => sum + it, 0) / own.length;
  return { count: own.length, mean, worst: Math.max(...own), whole: Math.max(...board.ticks.map((it) => it.whole)) };
}

export function theTickLeavesTheProcessorFree({ elf, pulses, one, motorised }) {
  const lines = [['two sides', pulses], ['one side', one], ['two motorised', motorised]].map(([name, image]) => {
    const { count, mean, worst, whole } = ticks(elf, image);
    assert.ok(whole <= CYCLES_A_TICK / 20, `worst tick ${whole} cycles`);
    return { worst, text: `${name}: ${count} ticks, mean ${mean.toFixed(0)}, worst ${worst} cycles (${whole} with the ` +
      `interrupts in it); ${(100 * mean / CYCLES_A_TICK).toFixed(1)} % of the processor` };
  });
  return lines.map((it) => it.text).join('\n') +
    `\naim of ${AIM} cycles in the worst tick of two sides: ${lines[0].worst <= AIM ? 'met' : 'MISSED'}`;
}

export function theStackHasRoom({ elf, pulses }) {
  const start = fresh(elf, pulses.bytes).board.stack();
  const { board } = sowing(elf, pulses.bytes, { until: 1.25 });
  board.paint();
  board.run(4);
  const running = board.stack();
  assert.ok(start < 64 * 1024 && running < 8 * 1024, `${start} and ${running} bytes`);
  const tick = Math.max(...board.ticks.map((it) => it.stack));
  const aim = (bytes) => (bytes <= AIM_STACK ? 'met' : 'MISSED');
  return `deepest ${running} bytes at work (the tick alone ${tick}), ${start} while it starts\n` +
    `aim of ${AIM_STACK} bytes: at work ${aim(running)}, the tick alone ${aim(tick)}`;
}

// Equal rates on three channels, all edges at once: the worst case.
function lost(elf, settings, rate) {
  const { board } = fresh(elf, settings);
  const gpios = ['encoder 1, channel A', 'encoder 2, channel A', 'ground pulses'].map(pin);
  const edges = Math.round(rate * 0.1);
  const before = [0, 1, 2].map((channel) => board.words(channel));
  const begin = board.seconds + 0.01;
  for (const gpio of gpios) board.set(gpio, false);
  const toggle = (edge) => {
    gpios.forEach((gpio) => board.set(gpio, edge % 2 === 0));
    if (edge + 1 < edges * 2) board.at(begin + (edge + 1) / (2 * rate), () => toggle(edge + 1));
  };
  board.at(begin, () => toggle(0));
  board.run(begin + 0.12);
  return [0, 1, 2].some((channel) => !board.words(channel).some((word, place) => {
    const added = (word - before[channel][place]) >>> 0;
    return added === edges;
  }));
}

export function noEdgeIsLostUpToARate({ elf, pulses }) {
  const rates = [1_400, 10_000, 20_000, 40_000, 80_000, 160_000, 240_000, 320_000, 480_000, 640_000, 960_000];
  const first = rates.findIndex((rate) => lost(elf, pulses.bytes, rate));
  const most = first < 0 ? rates.at(-1) : rates[first - 1];
  assert.ok(most !== undefined && most >= 10_000, `${most} edges/s a channel; the board declares 10 000`);
  return `${most} edges/s on each of three channels at once, ${3 * most} in all` +
    (first < 0 ? '' : `; ${rates[first]} loses some`);
}

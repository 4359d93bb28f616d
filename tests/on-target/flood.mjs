// More edges than a channel takes: noise on a wire, up to a storm of interrupts. It is a fault and rest, never a speed. Each
// check throws, or returns a line of figures.

import { strict as assert } from 'node:assert';
import { move } from './machine.mjs';
import { OIL, pin } from './pins.mjs';
import { events, fresh, restsAfter, sowing, statusLines } from './work.mjs';

const DECLARED = 10_000; // edges a second of a channel: src/board.rs
const CHANNELS = ['encoder 1, channel A', 'encoder 2, channel A', 'ground pulses'];

const told = (board) => board.lines.filter((it) => it.text.startsWith('flood='));

// So many edges a second on a pin, beside what the machine gives, until told otherwise.
function noise(board, gpio, rate) {
  let on = true;
  const flip = () => {
    if (!on) return;
    board.set(gpio, board.chip.gpio[gpio].rawInputValue !== true);
    board.at(board.seconds + 1 / (2 * rate), flip);
  };
  board.at(board.seconds, flip);
  return () => { on = false; };
}

export function anEdgeFloodIsAFaultAndRest({ elf, pulses }) {
  return [[2, 15_000], [2, 30_000], [0, 30_000], [1, 100_000], [2, 500_000]].map(([channel, rate]) => {
    const { board, drill } = sowing(elf, pulses.bytes, { until: 4 });
    assert.ok(OIL.some((gpio) => board.isHigh(gpio)), 'it turned before');
    const [at, way] = [board.seconds, drill.way];
    const silence = noise(board, pin(CHANNELS[channel]), rate);
    const after = restsAfter(board, OIL, 0.1);
    assert.ok(after !== null && after <= 0.03, `${CHANNELS[channel]} at ${rate}/s: rests after ${after} s`);
    board.run(at + 2.1);
    assert.equal(board.bite, null, 'ticks go on');
    const begun = told(board);
    assert.equal(begun.length, 1, `told once: ${begun.map((it) => it.text)}`);
    assert.equal(events(board).filter((it) => it.kind === 'alarm-on').at(-1).value, '18');
    for (const { speed } of statusLines(board)) assert.ok(Number(speed) <= 2.04, `speed ${speed} m/s`);
    // Edges of the tick in which it began, and none after.
    const counted = Number(events(board).at(-1).way) - Number(events(board)[0].way);
    assert.ok(counted <= way * 1.02 + 0.3, `way ${counted} m, true ${way} m`);
    silence();
    board.run(board.seconds + 1.3);
    assert.equal(told(board).at(-1).text, 'flood=-', 'its end is told');
    assert.ok(OIL.every((gpio) => !board.isHigh(gpio)), 'nothing turns by itself');
    move(board, 'master switch', false);
    board.run(board.seconds + 0.3);
    move(board, 'master switch', true);
    board.run(board.seconds + 1.5);
    assert.equal(statusLines(board).at(-1).state, 'turn', 'off and on, and it works');
    return `${CHANNELS[channel]} at ${rate}/s: ${begun[0].text} after ${((begun[0].at - at) * 1e3).toFixed(0)} ms, every pin ` +
      `that moves oil low after ${(after * 1e3).toFixed(0)} ms`;
  }).join('\n');
}

// A storm leaves the processor its time: the longest between two ticks.
export function aStormOnEveryChannelLeavesTheTicks({ elf, pulses }) {
  const { board } = sowing(elf, pulses.bytes, { until: 4 });
  const count = board.ticks.length;
  CHANNELS.forEach((signal) => noise(board, pin(signal), 300_000));
  board.run(5);
  assert.equal(board.bite, null);
  const at = board.ticks.slice(count - 1).map((it) => it.at);
  const longest = Math.max(...at.slice(1).map((it, index) => it - at[index]));
  assert.ok(longest <= 0.02, `${longest} s between two ticks`);
  assert.deepEqual(OIL.filter((gpio) => board.isHigh(gpio)), []);
  return `300,000 edges/s on each of three channels: ${at.length - 1} ticks in 1 s, at most ${(longest * 1e3).toFixed(1)} ms apart`;
}

// The declared rate is none: on all three channels at once.
export function theDeclaredRateIsNoFlood({ elf, pulses }) {
  const { board } = fresh(elf, pulses.bytes);
  CHANNELS.forEach((signal) => noise(board, pin(signal), DECLARED));
  const before = [0, 1, 2].map((channel) => board.captured(channel).count);
  const begin = board.seconds;
  board.run(begin + 1);
  const counted = [0, 1, 2].map((channel) => board.captured(channel).count - before[channel]);
  for (const count of counted) assert.ok(Math.abs(count - DECLARED) <= 2, `${counted} edges`);
  assert.deepEqual(told(board), []);
  return `${counted.join(', ')} edges in 1 s, none told`;
}

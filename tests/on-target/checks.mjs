// What the image must do at its pins. Each check throws, or returns a line of figures.

import { strict as assert } from 'node:assert';
import { Board } from './board.mjs';
import { changed } from './image.mjs';
import { move, sentence, speak } from './machine.mjs';
import { OIL, pin } from './pins.mjs';
import { find } from '../../controller/boards/pico/elf.mjs';
import { readUf2 } from '../../controller/boards/pico/uf2.mjs';
import { events, fresh, oilMoved, parse, restsAfter, sowing, statusLines } from './work.mjs';

const near = (have, want, within, what) =>
  assert.ok(Math.abs(have - want) <= within, `${what}: ${have}, wanted ${want} ± ${within}`);

// Encoder, width, rate and turns per metre, from the image's fields as the host lists them.
function told(host) {
  const first = (name) => host.fields.find((it) => it.name === name).raw;
  const rate = first('rate') / 65536; // mg/m²
  return { width: first('side.width') / 1e6, rate, grams: first('catch.mass') / 1e6,
    turnsPerMetre: (rate * first('side.width') / 1e6) / (first('catch.mass') / 1e3) };
}

export function startSaysTheFingerprintOfTheHost({ elf, pulses }) {
  const { board } = fresh(elf, pulses.bytes);
  const start = parse(board.lines[0].text);
  assert.equal(start.fingerprint, pulses.host.fingerprint);
  assert.equal(start.reset, 'power');
  assert.deepEqual(oilMoved(board), []);
  const rates = board.chip.uart.map((it) => it.baudRate);
  [38_400, 115_200].forEach((rate, index) => near(rates[index], rate, 0.01 * rate, `baud rate of UART${index}`));
  return `fingerprint ${start.fingerprint} after ${(board.lines[0].at * 1e3).toFixed(1)} ms`;
}

// One flipped bit at each of these places, and a sector that was never written.
export function aWrongImageIsToldAndNothingTurns({ elf, pulses }) {
  const { length } = pulses.bytes;
  const places = [0, 4, 6, 20, 100, length - 5, length - 1];
  const wrong = places.map((place) => pulses.bytes.map((byte, index) => (index === place ? byte ^ 1 : byte)));
  const said = new Set();
  for (const bytes of [...wrong, new Uint8Array(0)]) {
    const { board } = sowing(elf, bytes, { until: 3.2 });
    const start = board.lines[0].text;
    assert.match(start, /^start fingerprint=- .* sides=0 .* refused=(settings image|these bytes)/);
    said.add(start.slice(start.indexOf('refused=') + 8));
    assert.deepEqual(oilMoved(board), [], start);
    assert.equal(statusLines(board).at(-1).alarm, '9');
    assert.ok(board.went.has(pin('alarm lamp')), 'the alarm lamp tells it');
  }
  return `${wrong.length + 1} images, ${said.size} reasons: ${[...said].join('; ')}`;
}

export function aMasterThatIsOnAtPowerUpStartsNothing({ elf, pulses }) {
  const board = new Board(elf, pulses.bytes);
  for (const signal of ['stop', 'master switch', 'side switch 1', 'side switch 2', 'lift switch']) {
    board.set(pin(signal), false);
  }
  for (let edge = 0; edge < 500; edge += 1) {
    board.at(0.5 + edge / 260, () => board.set(pin('ground pulses'), false));
    board.at(0.5 + (edge + 0.5) / 260, () => board.set(pin('ground pulses'), true));
  }
  board.run(2.5);
  assert.deepEqual(oilMoved(board), []);
  return `${statusLines(board).at(-1).state} at ${statusLines(board).at(-1).speed} m/s`;
}

export function speedAndSeedAreThoseOfTheMachine({ elf, pulses }) {
  const { board, drill } = sowing(elf, pulses.bytes, { until: 6, machine: { gain: 0.9 } });
  const { turnsPerMetre, width, rate, grams } = told(pulses.host);
  const before = { way: drill.way, turns: drill.shafts.map((it) => it.turns) };
  board.run(9.1);
  const line = statusLines(board).at(-1);
  const [first, second] = line.shaft.split(',').map(Number);
  near(Number(line.speed), 2, 0.01, 'speed');
  for (const shaft of [first, second]) near(shaft, 2 * turnsPerMetre, 0.02 * turnsPerMetre, 'shaft');
  assert.equal(line.state, 'turn');
  assert.equal(line.alarm, '0');
  assert.ok(board.isHigh(pin('supply shut-off')));
  const area = (drill.way - before.way) * width;
  const laid = drill.shafts.map((it, index) => (it.turns - before.turns[index]) * grams / area * 1e3);
  for (const one of laid) near(one, rate, 0.01 * rate, 'mg/m² laid at a steady speed');
  for (const shaft of drill.shafts) near(shaft.period * 150, 1, 0.001, 'period of the PWM');
  return `speed ${line.speed} m/s, shafts ${line.shaft} turns/s (asked ${(2 * turnsPerMetre).toFixed(3)}), truly laid ` +
    `${laid.map((it) => (it / 100).toFixed(2)).join(' and ')} kg/ha of ${rate / 100}`;
}

export function everyEdgeIsCounted({ elf, pulses }) {
  const { board, drill } = sowing(elf, pulses.bytes, { until: 1.25 });
  const before = [0, 1, 2].map((channel) => board.words(channel));
  board.run(6);
  drill.speed = () => 0;
  board.run(6.5);
  const edges = [...drill.shafts.map((it) => it.edges), drill.groundEdges];
  edges.forEach((count, channel) => {
    const added = board.words(channel).map((word, place) => (word - before[channel][place]) >>> 0);
    assert.ok(count > 400 && added.includes(count), `channel ${channel}: ${added}, true ${count}`);
  });
  return `encoders ${edges[0]} and ${edges[1]}, ground ${edges[2]}`;
}

// Stated times: docs/faults.md, drills with pulses alone.
export function aBrokenEncoderWireRestsItsSide({ elf, pulses }) {
  const { board, drill } = sowing(elf, pulses.bytes);
  drill.shafts[0].wired = false;
  const after = restsAfter(board, [pin('valve 1')], 1);
  assert.ok(after !== null && after <= 0.53, `valve 1 rests after ${after} s`);
  board.run(board.seconds + 0.2);
  assert.equal(events(board).filter((it) => it.kind === 'alarm-on').at(-1).value, '3');
  return `item 3, valve 1 at rest after ${after.toFixed(3)} s (stated 0.53)`;
}

export function aBrokenGroundWireRestsEverySide({ elf, pulses }) {
  const { board, drill } = sowing(elf, pulses.bytes);
  drill.groundWired = false;
  const after = restsAfter(board, [pin('valve 1'), pin('valve 2')], 1);
  assert.ok(after !== null && after <= 0.5, `valves rest after ${after} s`);
  board.run(board.seconds + 0.2);
  return `item ${events(board).filter((it) => it.kind === 'alarm-on').at(-1).value}, valves at rest after ` +
    `${after.toFixed(3)} s (stated 0.50)`;
}

export function switchesTakeTheOilAway({ elf, pulses }) {
  const figures = [];
  // 20 ms of debounce by the image's settings and 8 ms of bouncing, a tick, a period of the PWM.
  for (const [signal, within] of [['lift switch', 0.1], ['master switch', 0.1], ['stop, as read', 0.1]]) {
    const { board } = sowing(elf, pulses.bytes, { until: 4 });
    assert.ok(OIL.some((gpio) => board.isHigh(gpio)), 'it turned before');
    if (signal.startsWith('stop')) board.set(pin('stop'), true);
    else move(board, signal, false);
    const gpios = signal.startsWith('lift') ? [pin('valve 1'), pin('valve 2')] : OIL;
    const after = restsAfter(board, gpios, 2);
    assert.ok(after !== null && after <= within, `${signal}: rests after ${after} s`);
    figures.push(`${signal} ${(after * 1e3).toFixed(0)} ms`);
  }
  return figures.join(', ');
}

// The core's tick becomes an endless loop (`b .`); or the whole tick is left out (`bx lr`), while the beats go on.
export function withoutAWholeTickTheWatchdogBites({ elf, pulses }) {
  const figures = [['the core hangs', (board) => board.tickEntry, 0xe7fe],
    ['no tick comes', () => find(elf, 'drill', 'Drill', '4tick').address & ~1, 0x4770]].map(([what, place, word]) => {
    const { board } = sowing(elf, pulses.bytes, { until: 4 });
    const at = board.seconds;
    board.chip.flashView.setUint16(place(board) - 0x10000000, word, true);
    board.run(at + 0.7);
    assert.notEqual(board.bite, null, `${what}: the watchdog bites`);
    const after = board.bite - at;
    assert.ok(after > 0.4 && after <= 0.51, `${what}: after ${after} s`);
    return `${what}: after ${after.toFixed(3)} s`;
  });
  const again = fresh(elf, pulses.bytes, { bitten: true }).board;
  assert.equal(parse(again.lines[0].text).reset, 'watchdog');
  assert.deepEqual(oilMoved(again), []);
  return `${figures.join(', ')}; the next start says reset=watchdog and stands`;
}

// Ten fixes a second at 2 m/s: 3.888 kn.
export function theReceiverIsHeard({ elf, receiver }) {
  const { board } = sowing(elf, receiver.bytes, { speed: 0, until: 1.25 });
  for (let fix = 0; fix < 60; fix += 1) {
    const time = `0915${String(Math.floor(fix / 10)).padStart(2, '0')}.${fix % 10}00`;
    const knots = (Math.min(2, fix * 0.1) * 3600 / 1852).toFixed(3);
    const text = sentence(`GNRMC,${time},A,4813.0509,N,00824.8699,E,${knots},175.87,101015,,,A`);
    speak(board, 1.3 + fix * 0.1, text, 38400);
  }
  board.run(7.1);
  const line = statusLines(board).at(-1);
  near(Number(line.speed), 2, 0.01, 'speed');
  assert.equal(line.state, 'turn');
  const begins = events(board).at(-1);
  board.run(9.5);
  const silent = statusLines(board).at(-1);
  assert.notEqual(silent.state, 'turn', 'a receiver that falls silent stops it');
  return `speed ${line.speed} m/s, event ${begins.kind} at ${begins.lat} ${begins.lon}; silent: ${silent.state}`;
}

// The file for the boot loader says the same as the image, and no block leaves the flash.
export function theBootLoadersFileHoldsTheImage({ elf, uf2 }) {
  const flash = new Map(readUf2(uf2).flatMap(({ address, bytes }) => [...bytes].map((byte, at) => [address + at, byte])));
  let count = 0;
  for (const { address, bytes } of elf.segments) {
    bytes.forEach((byte, at) => assert.equal(flash.get(address + at), byte, (address + at).toString(16)));
    count += bytes.length;
  }
  const places = [...flash.keys()];
  const [low, high] = [places[0], places.at(-1)];
  assert.ok(low >= 0x10000000 && high < 0x101df000, 'it does not touch the sectors of journal and settings');
  return `${count} bytes in ${uf2.length / 512} blocks, ${low.toString(16)} to ${high.toString(16)}`;
}

// `bl` to the panic handler at the start of a function: Arm v6-M manual, encoding T1 of BL.
function panicAt(board, flash, words) {
  const from = find(board.elf, ...words).address & ~1;
  const offset = (find(board.elf, 'rust_begin_unwind').address & ~1) - (from + 4);
  const sign = offset < 0 ? 1 : 0;
  const bit = (place) => ((offset >> place) & 1) ^ sign ^ 1;
  const view = new DataView(flash.buffer);
  view.setUint16(from - 0x10000000, 0xf000 | (sign << 10) | ((offset >> 12) & 0x3ff), true);
  view.setUint16(from - 0x10000000 + 2, 0xd000 | (bit(23) << 13) | (bit(22) << 11) | ((offset >> 1) & 0x7ff), true);
}

export function aPanicTakesEveryOutputAway({ elf, pulses }) {
  const patch = (flash) => panicAt({ elf }, flash, ['sense6ground6Ground3new']);
  const start = fresh(elf, pulses.bytes, { patch }).board;
  start.run(1);
  assert.equal(start.lines.length, 0, 'it panics before the start line');
  assert.deepEqual([...start.went], [], 'no output was ever high');
  assert.notEqual(start.bite, null, 'the watchdog bites');
  const { board } = sowing(elf, pulses.bytes, { until: 4 });
  const outputs = [...OIL, pin('alarm lamp'), pin('state lamp'), pin('buzzer')];
  assert.ok(outputs.some((gpio) => board.isHigh(gpio)), 'it turned before');
  panicAt(board, board.chip.flash, ['tick_of_core']);
  board.run(board.seconds + 0.011);
  assert.deepEqual(outputs.filter((gpio) => board.isHigh(gpio)), []);
  return `in start-up no output was ever high; at work every output is low within a tick, and the watchdog bites after ` +
    `${start.bite.toFixed(2)} s`;
}

export function aMotorisedValveIsDrivenByItsTwoOutputs({ elf, motorised }) {
  const machine = { opening: 0.1, stroke: 3 };
  const { board, drill } = sowing(elf, motorised.bytes, { until: 10.1, machine });
  const line = statusLines(board).at(-1);
  const { turnsPerMetre } = told(motorised.host);
  for (const shaft of line.shaft.split(',').map(Number)) near(shaft, 2 * turnsPerMetre, 0.05 * turnsPerMetre, 'shaft');
  // A valve of 3 s is late at the start: ground left bare (14) is told, and nothing else.
  const alarms = events(board).filter((it) => it.kind === 'alarm-on').map((it) => it.value);
  assert.ok(alarms.every((it) => it === '14'), `items ${alarms}`);
  move(board, 'master switch', false);
  const after = restsAfter(board, [pin('supply shut-off')], 1);
  assert.ok(after !== null && after <= 0.1, `the shut-off closes after ${after} s`);
  board.run(board.seconds + 5);
  for (const shaft of drill.shafts) {
    assert.equal(shaft.both, false, 'never both outputs');
    near(shaft.place, 0, 0.001, 'the valve is driven shut');
  }
  return `shafts ${line.shaft} turns/s; never both outputs; master off: shut-off closed after ` +
    `${(after * 1e3).toFixed(0)} ms, valves driven shut`;
}

export function anEncoderOfTwoChannelsCountsBackToo({ elf, pulses }) {
  const bytes = changed(pulses, 'side.two_channel', 1, 1);
  const { board } = fresh(elf, bytes);
  assert.equal(parse(board.lines[0].text).sides, '2');
  const added = [0, 1].map((side) => {
    const [a, b] = ['A', 'B'].map((channel) => pin(`encoder ${side + 1}, channel ${channel}`));
    return [[false, 7], [true, 4]].map(([back, edges]) => {
      const before = board.words(side);
      board.set(b, back);
      for (let edge = 0; edge < edges; edge += 1) {
        board.set(a, false);
        board.run(board.seconds + 0.0002);
        board.set(a, true);
        board.run(board.seconds + 0.0002);
      }
      return board.words(side).map((word, place) => (word - before[place]) | 0);
    });
  });
  for (const [forward, back] of added) assert.ok(forward.includes(7) && back.includes(-4), `${forward} ${back}`);
  return 'seven edges forward and four back, on both';
}

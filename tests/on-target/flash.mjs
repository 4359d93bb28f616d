// The flash while it is programmed and erased: no edge is lost, nothing is read from it, and it waits for a standstill. Each
// check throws, or returns a line of figures.

import { strict as assert } from 'node:assert';
import { find } from '../../controller/boards/pico/elf.mjs';
import { Board } from './board.mjs';
import { move } from './machine.mjs';
import { pin } from './pins.mjs';
import { events, fresh, oilMoved, parse, sowing } from './work.mjs';

const COUNTS = 0x1df000 + 8 * 4096; // behind three sectors of settings and five of gaps
const EDGE = 2; // µs: two edges may meet

const start = (board) => parse(board.lines[0].text);

export function aNewFlashIsMadeAJournal({ elf, pulses }) {
  const board = new Board(elf, pulses.bytes, { flash: new Uint8Array(0) });
  board.run(2);
  const erases = board.rom.operations.filter((it) => it.kind === 'erase');
  assert.equal(erases.length, 32);
  assert.equal(start(board).counts, 'new');
  const at = board.lines[0].at;
  const garbage = new Board(elf, pulses.bytes, { flash: Uint8Array.from({ length: 0x200000 }, (_, at) => (at * 7919) >>> 3) });
  garbage.run(3);
  assert.equal(start(garbage).counts, 'new', 'garbage holds nothing');
  assert.deepEqual([...oilMoved(board), ...oilMoved(garbage)], []);
  return `32 sectors erased, start line after ${at.toFixed(2)} s (0.03 s later on); garbage is taken for a new one`;
}

// Edges on three channels, at an uneven pace of their own, 4200 a second in all; the instant of the last one is compared in
// between.
function edges(board, channels, until) {
  const seen = { true: [0, 0, 0], worst: 0, busy: 0 };
  const last = [null, null, null];
  channels.forEach((gpio, channel) => {
    const period = [1 / 1_300, 1 / 1_700, 1 / 1_200][channel];
    const begin = board.seconds + 0.0001 * (channel + 1);
    const step = (edge) => {
      const at = begin + edge * period;
      if (at > until) return;
      board.at(at, () => {
        board.set(gpio, true);
        seen.true[channel] += 1;
        seen.busy += board.rom.busy ? 1 : 0;
        last[channel] = at;
      });
      board.at(at + period / 2, () => board.set(gpio, false));
      board.at(at + period * 0.6, () => {
        const { edgeAt } = board.captured(channel);
        seen.worst = Math.max(seen.worst, Math.abs(edgeAt - last[channel] * 1e6));
        step(edge + 1);
      });
    };
    board.set(gpio, false);
    step(0);
  });
  return seen;
}

// Sectors of the counts that are not blank, behind the one in use: seventeen to be erased.
function full(flash) {
  for (let sector = 1; sector < 18; sector += 1) flash[COUNTS + sector * 4096 + 1] = 0;
}

// A program in work, and an erase at a standstill: edges begin as it begins. A sector that is not blank is one to erase.
export function everyEdgeIsCountedWhileTheFlashIsBusy({ elf, pulses }) {
  const channels = ['encoder 1, channel A', 'encoder 2, channel A', 'ground pulses'].map(pin);
  return ['program', 'erase'].map((kind) => {
    const { board } = fresh(elf, pulses.bytes, kind === 'erase' ? { patch: full } : {});
    assert.equal(start(board).counts, 'new');
    let [seen, before] = [null, null];
    board.rom.onOperation = (operation) => {
      if (operation.kind !== kind || seen) return;
      before = [0, 1, 2].map((channel) => board.captured(channel).count);
      const until = kind === 'erase' ? operation.end / 1e9 - 0.001 : board.seconds + 2;
      seen = edges(board, channels, until);
    };
    if (kind === 'program') move(board, 'side switch 1', true);
    board.run(board.seconds + 2.5);
    assert.notEqual(seen, null, `no ${kind}`);
    const counted = [0, 1, 2].map((channel) => (board.captured(channel).count - before[channel]) >>> 0);
    assert.deepEqual(counted, seen.true, `edges while the flash is busy with ${kind}`);
    assert.ok(seen.worst <= EDGE, `an instant is ${seen.worst} µs off`);
    assert.ok(seen.busy >= 10, `${seen.busy} edges while it was busy`);
    return `${kind}: ${seen.true.join(', ')} edges, ${seen.busy} of them while it was busy; none lost, every instant within ` +
      `${seen.worst.toFixed(2)} µs`;
  }).join('\n');
}

// What runs from RAM while the flash is busy, looked at as code: no branch with link to a fixed place (Arm v6-M manual,
// encoding T1 of BL) and no address in the flash.
export function whatRunsFromRamNamesNothingInFlash({ elf }) {
  const load = elf.symbols.find((it) => it.name === '__sidata').address;
  const names = ['5flash3act', '7capture5edges', '7vectors4beat', '8receiver5bytes', '4rest5fault'];
  const symbol = (words) => elf.symbols.find((it) => it.name.startsWith(`_ZN4pico${words}17h`));
  const sizes = names.map((words) => {
    const { address, size } = symbol(words);
    assert.equal(address >>> 28, 2, `${words} lies in RAM`);
    const from = load + ((address & ~1) - 0x20000000);
    const segment = elf.segments.find((it) => it.address <= from && from + size <= it.address + it.bytes.length);
    const bytes = segment.bytes.subarray(from - segment.address, from - segment.address + size);
    const view = new DataView(bytes.buffer, bytes.byteOffset, size);
    for (let at = 0; at + 4 <= size; at += 2) {
      const [half, next] = [view.getUint16(at, true), view.getUint16(at + 2, true)];
      assert.ok(!(half >>> 11 === 0b11110 && next >>> 14 === 3), `${words} calls at ${at}`);
      if (at % 4 === 0) assert.notEqual(view.getUint32(at, true) >>> 24, 0x10, `${words} names the flash at ${at}`);
    }
    return `${words.replace(/\d/, '').replace(/\d/, '::')} ${size}`;
  });
  return `bytes: ${sizes.join(', ')}`;
}

// The proof can fail: with a vector that points into the flash the emulator stops at the first edge.
export function aHandlerInFlashIsFoundOut({ elf, pulses }) {
  const { board } = fresh(elf, pulses.bytes);
  const table = find(elf, 'vectors', 'TABLE').address - 0x20000000;
  const inFlash = find(elf, 'drill', 'Drill', '4tick').address | 1;
  board.rom.onOperation = () => {
    board.chip.sramView.setUint32(table + 4 * (16 + 13), inFlash, true); // IO_IRQ_BANK0
    board.set(pin('ground pulses'), false);
    board.at(board.seconds + 0.0002, () => board.set(pin('ground pulses'), true));
  };
  move(board, 'side switch 1', true);
  assert.throws(() => board.run(board.seconds + 1), /while the flash is busy/);
  return 'a vector into the flash is told at once';
}

// An erase of 45 ms delays a tick: at a standstill that is no alarm. In work nothing is erased.
export function erasesWaitForAStandstill({ elf, pulses }) {
  const { board } = sowing(elf, pulses.bytes, { until: 1.2, patch: full });
  const erases = () => board.rom.operations.filter((it) => it.kind === 'erase').length;
  const standing = erases();
  assert.ok(standing > 0, 'at a standstill sectors are erased');
  board.run(1.7);
  const moving = erases();
  board.run(5);
  assert.equal(erases(), moving, 'in work none');
  const alarms = events(board).filter((it) => it.kind === 'alarm-on').map((it) => it.value);
  assert.deepEqual(alarms, [], `items ${alarms}`);
  return `${moving} sectors erased before the drill moved, none in work, no tick told late`;
}

// 3 ms a page and 400 ms a sector, the worst of such flash: ticks in work are not told late, the watchdog waits.
export function theSlowestFlashDelaysNoTickInWork({ elf, pulses }) {
  const times = { program: 3e6, erase: 400e6, clockOut: 0.1e6 };
  const { board } = fresh(elf, pulses.bytes, { times, patch: full });
  board.run(8);
  assert.equal(board.bite, null, 'the watchdog waits for an erase');
  assert.ok(board.rom.operations.filter((it) => it.kind === 'erase').length >= 12, 'sectors are erased');
  const count = board.ticks.length;
  const { board: at } = sowing(elf, pulses.bytes, { times, until: 8 });
  const ticks = at.ticks.filter((it) => it.at > 1.3).map((it) => it.at);
  const longest = Math.max(...ticks.slice(1).map((it, index) => it - ticks[index]));
  assert.ok(longest <= 0.02, `${longest} s between two ticks`);
  assert.deepEqual(events(at).filter((it) => it.kind === 'alarm-on'), []);
  const told = [...new Set(events(board).filter((it) => it.kind === 'alarm-on').map((it) => it.value))];
  return `in work at most ${(longest * 1e3).toFixed(1)} ms between two ticks; at a standstill ${count} ticks in 8 s of erases, ` +
    `items ${told.join(', ') || 'none'} told`;
}

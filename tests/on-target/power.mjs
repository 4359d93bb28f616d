// Power cuts, watchdog resets and a busy flash: what the journal keeps, and that no edge is lost meanwhile. Each check
// throws, or returns a line of figures.

import { strict as assert } from 'node:assert';
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { find } from '../../controller/boards/pico/elf.mjs';
import { Board } from './board.mjs';
import { changed } from './image.mjs';
import { move } from './machine.mjs';
import { pin } from './pins.mjs';
import { events, fresh, oilMoved, parse, sowing, statusLines } from './work.mjs';

const SECOND = 1.02; // Counts are kept a second apart, when no tick is near.
const COUNTS = 0x1df000 + 8 * 4096; // behind three sectors of settings and five of gaps
const PULSE = 8; // mm of way; what the core counts is within 2 % of the truth beside
const EDGE = 2; // µs: two edges may meet

const start = (board) => parse(board.lines[0].text);

// The way in work that a board says it starts with, mm.
function wayAtStart(board) {
  const begin = events(board).find((it) => it.kind === 'begin');
  return { way: Math.round(Number(begin.way) * 1e3), number: Number(begin.event) };
}

// Powers a board up with every switch on and the drill under way at 2 m/s: nothing may turn. What it says is there.
function powerUp(board, until = 0.16) {
  for (const signal of ['stop', 'master switch', 'side switch 1', 'side switch 2', 'lift switch']) {
    board.set(pin(signal), false);
  }
  for (let edge = 0; edge / 520 < until; edge += 1) {
    board.at(0.02 + edge / 520, () => board.set(pin('ground pulses'), edge % 2 === 1));
  }
  board.run(until);
  assert.deepEqual(oilMoved(board), [], 'a pin that moves oil was high');
  return { ...start(board), ...wayAtStart(board) };
}

// The true way in work at the end of every hundredth of a second, mm.
function ways(board, drill) {
  const seen = [];
  const look = () => { seen.push({ at: board.seconds, way: drill.way * 1e3 }); board.at(board.seconds + 0.01, look); };
  board.at(board.seconds, look);
  return (at) => (seen.findLast((it) => it.at <= at) ?? seen[0]).way;
}

// Of each record the flash as it is before, torn in the middle, and just done.
export function aPowerCutAtAnyWriteLosesASecondAtMost({ elf, pulses }) {
  const { board, drill } = sowing(elf, pulses.bytes, { until: 2.9 });
  const way = ways(board, drill);
  board.run(4);
  const cuts = [];
  board.rom.onOperation = (operation) => [0, 0.3, 0.7, 1].forEach((share) => {
    const at = operation.begin / 1e9;
    cuts.push({ at, share, flash: board.rom.torn(share), way: drill.way * 1e3, number: events(board).length });
  });
  board.run(7.2);
  move(board, 'master switch', false);
  board.run(7.8);
  assert.ok(cuts.length >= 40, `${cuts.length} cuts`);
  const lost = cuts.map(({ at, share, flash, way: now, number }) => {
    const found = powerUp(new Board(elf, null, { flash }));
    assert.equal(found.fingerprint, pulses.host.fingerprint);
    assert.equal(found.reset, 'power');
    assert.equal(found.counts, 'kept', `cut at ${at} s, share ${share}`);
    const [most, least] = [now * 1.02 + PULSE, way(at - SECOND) * 0.98 - PULSE];
    assert.ok(found.way <= most && found.way >= least, `way ${found.way} mm, true ${least} to ${most}`);
    assert.ok(found.number >= number - 1, `event ${found.number} after ${number}`);
    return now - found.way;
  });
  return `${cuts.length} cuts at ${cuts.length / 4} programs, before, within and after: fingerprint the same, at most ` +
    `${(Math.max(...lost) / 2e3).toFixed(2)} s of counts lost, event numbers go on, nothing turns by itself`;
}

// The power goes at some instant between two writes, and then within the second program of a record.
export function afterAPowerCutWorkGoesOnFromTheCounts({ elf, pulses }) {
  const figures = [[5.6, null], [5, 0.5]].map(([until, share]) => {
    const { board, drill } = sowing(elf, pulses.bytes, { until: until - 1.1 });
    const way = ways(board, drill);
    board.run(until + 0.02);
    if (share === null) board.powerOff();
    else board.rom.cutIn(2, share);
    board.run(until + 2);
    const at = board.cut;
    assert.notEqual(at, null, 'the power went');
    powerUp(board.again(), 2);
    const { board: again, drill: goesOn } = sowing(elf, null, { on: board.again(), until: 4 });
    const begun = wayAtStart(again);
    assert.deepEqual([start(again).fingerprint, start(again).counts], [pulses.host.fingerprint, 'kept']);
    assert.ok(begun.way >= way(at - SECOND) * 0.98 - PULSE && begun.way <= way(at + 0.01) * 1.02 + PULSE, `way ${begun.way}`);
    const line = statusLines(again).at(-1);
    assert.equal(line.state, 'turn', 'after master off and on it works');
    again.run(4.2);
    const total = Number(events(again).at(-1).way) * 1e3;
    assert.ok(total >= begun.way && total <= begun.way + goesOn.way * 1e3 + 10, `goes on to ${total} mm`);
    return `cut at ${at.toFixed(3)} s after ${(way(at) / 1e3).toFixed(2)} m: starts with ${(begun.way / 1e3).toFixed(2)} m`;
  });
  return `${figures.join('; ')}; nothing turns in 2 s with the master on; off and on, and it turns`;
}

export function aWatchdogResetKeepsTheCounts({ elf, pulses }) {
  const { board, drill } = sowing(elf, pulses.bytes, { until: 4 });
  const way = ways(board, drill);
  board.run(5.3);
  board.chip.flashView.setUint16(board.tickEntry - 0x10000000, 0xe7fe, true); // b .
  board.run(6.5);
  assert.notEqual(board.bite, null, 'the watchdog bites');
  const again = board.again({ patch: (flash) => {
    for (const { address, bytes } of elf.segments) flash.set(bytes, address - 0x10000000);
  } });
  const found = powerUp(again);
  assert.deepEqual([found.reset, found.counts, found.fingerprint], ['watchdog', 'kept', pulses.host.fingerprint]);
  assert.ok(found.way >= way(5.3 - SECOND) * 0.98 - PULSE && found.way <= way(5.31) * 1.02 + PULSE, `way ${found.way} mm`);
  return `hung at 5.30 s after ${(way(5.3) / 1e3).toFixed(2)} m, reset at ${board.bite.toFixed(2)} s: starts with ` +
    `${(found.way / 1e3).toFixed(2)} m, at rest`;
}

export function aNewImageKeepsTheCountsAndHasItsOwnRate({ elf, pulses }) {
  const { board } = sowing(elf, pulses.bytes, { until: 5.5 });
  board.powerOff();
  const rate = 90 * 100 * 65536; // 90 kg/ha
  const again = board.again({ settings: changed(pulses, 'rate', rate, 4) });
  const found = powerUp(again);
  assert.notEqual(found.fingerprint, pulses.host.fingerprint);
  assert.equal(found.counts, 'kept');
  assert.ok(found.way > 3_000, `way ${found.way} mm`);
  again.run(1.2);
  assert.equal(statusLines(again).at(-1).rate, '90.00');
  again.powerOff();
  const third = powerUp(again.again());
  assert.deepEqual([third.fingerprint, third.counts], [found.fingerprint, 'kept']);
  assert.ok(third.way >= found.way, 'and once more');
  return `${(found.way / 1e3).toFixed(2)} m go on under ${found.fingerprint} at 90 kg/ha, and after one more cut`;
}

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

// A program in work, and an erase at a standstill: edges begin as it begins. A sector that is not blank is one to erase.
export function everyEdgeIsCountedWhileTheFlashIsBusy({ elf, pulses }) {
  const channels = ['encoder 1, channel A', 'encoder 2, channel A', 'ground pulses'].map(pin);
  return ['program', 'erase'].map((kind) => {
    const full = (flash) => { for (let sector = 1; sector < 18; sector += 1) flash[COUNTS + sector * 4096 + 1] = 0; };
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
  const full = (flash) => { for (let sector = 1; sector < 18; sector += 1) flash[COUNTS + sector * 4096 + 1] = 0; };
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

// The journal's sectors, as they would be read out by a probe, in the host's own hands; the layout is that of src/keep.rs.
export function theHostReadsTheBoardsJournal({ elf, pulses, folder, program }) {
  const { board, drill } = sowing(elf, pulses.bytes, { until: 6 });
  const turns = () => drill.shafts.reduce((sum, it) => sum + it.turns, 0);
  const then = { way: drill.way, turns: turns() };
  board.run(7);
  board.powerOff();
  writeFileSync(`${folder}/journal.bin`, board.journal());
  writeFileSync(`${folder}/about.toml`, 'field = "emulated"\ndate = "2026-01-01"\noperator = "nobody"\n[journal]\nword = 1\n' +
    'settings = 3\ngaps = 5\ncounts = 19\nevents = 5\n');
  const said = execFileSync(program, ['record', `${folder}/journal.bin`, '--about', `${folder}/about.toml`, '--json']);
  const { sides, lots, settings_fingerprint: fingerprint, damage } = JSON.parse(said).record;
  assert.equal(fingerprint, pulses.host.fingerprint);
  assert.deepEqual(damage, []);
  for (const { distance_m: way } of sides) {
    assert.ok(way >= then.way * 0.98 && way <= drill.way * 1.02, `${way} m, true ${then.way} to ${drill.way}`);
  }
  const [{ mass_kg: mass }] = lots;
  assert.ok(mass >= then.turns * 0.12 * 0.99 && mass <= turns() * 0.12 * 1.01, `${mass} kg`); // 120 g a turn
  return `${fingerprint}, ${sides[0].distance_m.toFixed(2)} m (true ${drill.way.toFixed(2)} at the cut), ${mass.toFixed(3)} kg ` +
    `(true ${(turns() * 0.12).toFixed(3)})`;
}

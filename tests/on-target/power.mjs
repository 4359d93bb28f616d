// Power cuts and watchdog resets: what the journal keeps. Each check throws, or returns a line of figures.

import { strict as assert } from 'node:assert';
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { Board } from './board.mjs';
import { changed } from './image.mjs';
import { move } from './machine.mjs';
import { pin } from './pins.mjs';
import { events, oilMoved, parse, sowing, statusLines } from './work.mjs';

const SECOND = 1.02; // Counts are kept a second apart, when no tick is near.
const PULSE = 8; // mm of way; what the core counts is within 2 % of the truth beside

const start = (board) => parse(board.lines[0].text);

// The way in work that a board says it starts with, mm.
function wayAtStart(board) {
  const begin = events(board).find((it) => it.kind === 'begin');
  return { way: Math.round(Number(begin.way) * 1e3), number: Number(begin.event) };
}

// Powers a board up with every switch on, and once it has said where it starts the drill under way at 2 m/s: nothing may
// turn. What it says is there.
function powerUp(board, until = 0.16) {
  for (const signal of ['stop', 'master switch', 'side switch 1', 'side switch 2', 'lift switch']) {
    board.set(pin(signal), false);
  }
  for (let edge = 0; edge / 520 < until; edge += 1) {
    board.at(0.17 + edge / 520, () => board.set(pin('ground pulses'), edge % 2 === 1));
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
    const [most, least] = [now + PULSE, way(at - SECOND) * 0.98 - PULSE];
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

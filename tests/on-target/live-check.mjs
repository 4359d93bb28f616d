// The live bench against its boards: node live-check.mjs FIELD.elf LIVE.elf M4.elf FOLDER, METERWRIGHT names the host's
// program. The last line says how many checks passed and failed.

import { strict as assert } from 'node:assert';
import { execFile, execFileSync, spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { readElf } from '../../controller/boards/pico/elf.mjs';
import { Board } from './board.mjs';
import { LiveBoard, Spoiler, serve } from './live.mjs';
import { runAll } from './runner.mjs';

const [fieldFile, liveFile, m4File, folder] = process.argv.slice(2);
const program = process.env.METERWRIGHT;
const demo = new URL('../../demo-data/', import.meta.url).pathname;
const RAMP = `${demo}scenarios/ramp-0.5-pulses.toml`;
const OTHER = `${demo}scenarios/small-seed-ramp.toml`;
const SETTINGS = '0x3ff000'; // live-m4/memory.x
const AFTER = 400; // answers, then the line is spoilt

const [field, live] = [fieldFile, liveFile].map((file) => readElf(readFileSync(file)));

function image(scenario, name) {
  const file = `${folder}/${name}.img`;
  execFileSync(program, ['settings', '--scenario', scenario, '-o', file]);
  return file;
}
const ramp = image(RAMP, 'live-ramp');
const other = image(OTHER, 'live-other');
const bytes = (file) => new Uint8Array(readFileSync(file));

// Runs the command against a port: exit code, document, what was said.
const run = (port, scenario) => new Promise((resolve) => {
  const options = ['live', '--port', `tcp:127.0.0.1:${port}`, '--json', scenario];
  execFile(program, options, { maxBuffer: 1 << 24 }, (error, out, said) => {
    resolve({ code: error ? error.code : 0, document: out ? JSON.parse(out) : null, said });
  });
});

// The same scenario as `verify` judges it.
const verdict = JSON.parse(execFileSync(program, ['verify', '--json', RAMP])).verdicts[0];

// Every tick the same, the verdict that of `verify`, and the spoilt line survived.
function same({ code, document, said }, spoiler, seconds) {
  assert.equal(code, 0, said);
  const { board, verdicts } = document;
  assert.deepEqual(verdicts[0], verdict, 'the verdict is that of verify');
  for (const key of ['differing_ticks', 'differing_acts', 'differing_counts']) assert.equal(board[key], 0, key);
  assert.equal(board.ticks, 5_000);
  assert.equal(spoiler.done, 4, 'the line was spoilt');
  assert.ok(board.asked_again >= 2 && board.garbage >= 2, JSON.stringify(board));
  return `${board.build}, settings ${board.fingerprint}: ${board.ticks} ticks bit for bit those of the host, ` +
    `${board.asked_again} asked again, ${board.garbage} pieces of garbage; rms ${verdicts[0].score.rms_pct.toFixed(3)} %; ` +
    `${seconds.toFixed(0)} s`;
}

const timed = async (work) => {
  const begin = Date.now();
  return [await work, (Date.now() - begin) / 1e3];
};

async function theEmulatedBoardGivesWhatTheHostGives() {
  const board = new LiveBoard(live, bytes(ramp));
  assert.match(board.start(), new RegExp(`^start live fingerprint=${verdict.fingerprint} version=\\S+\r\n$`));
  const baud = board.chip.uart[1].baudRate;
  assert.ok(Math.abs(baud - 921_600) < 0.01 * 921_600, `baud rate ${baud}`);
  const spoiler = new Spoiler(AFTER);
  const server = await serve(board, spoiler);
  const [ran, seconds] = await timed(run(server.address().port, RAMP));
  server.close();
  assert.deepEqual([[...board.went], board.lent()], [[], []], 'an output went high, or was lent to the PWM');
  return `${same(ran, spoiler, seconds)}; no output was ever high; ${(board.seconds / 5).toFixed(2)} ms a tick ` +
    `on the board's clock, the way back left out, at ${baud} bit/s`;
}

// QEMU as a client of ours, so that no port must be guessed; the host at another socket.
async function theCortexM4GivesWhatTheHostGives() {
  const listen = (server) => new Promise((resolve) => { server.listen(0, '127.0.0.1', () => resolve(server.address().port)); });
  const spoiler = new Spoiler(AFTER);
  let [board, host] = [null, null];
  let connected;
  const there = new Promise((resolve) => { connected = resolve; });
  const toBoard = createServer({ noDelay: true }, (socket) => {
    board = socket;
    connected();
    socket.on('data', (data) => host?.write(spoiler.said(data)));
    socket.on('error', () => {});
  });
  const toHost = createServer({ noDelay: true }, (socket) => {
    host = socket;
    socket.on('data', (data) => board.write(spoiler.heard(data)));
    socket.on('error', () => {});
  });
  const port = await listen(toBoard);
  const qemu = spawn('qemu-system-arm', ['-machine', 'mps2-an386', '-display', 'none', '-monitor', 'none', '-kernel', m4File,
    '-device', `loader,file=${ramp},addr=${SETTINGS},force-raw=on`, '-serial', `tcp:127.0.0.1:${port},nodelay=on`],
  { stdio: ['ignore', 'ignore', 'inherit'] });
  try {
    const gone = new Promise((_, reject) => {
      qemu.on('error', reject);
      qemu.on('exit', (code) => reject(new Error(`qemu-system-arm ended with ${code}`)));
    });
    gone.catch(() => {});
    await Promise.race([there, gone]);
    const [ran, seconds] = await timed(Promise.race([run(await listen(toHost), RAMP), gone]));
    return same(ran, spoiler, seconds);
  } finally {
    qemu.kill();
    for (const it of [toBoard, toHost]) it.close();
    for (const it of [board, host]) it?.destroy();
  }
}

async function aBoardWithOtherSettingsIsRefused() {
  const said = [];
  for (const settings of [bytes(other), new Uint8Array(0)]) {
    const board = new LiveBoard(live, settings);
    board.start();
    const server = await serve(board);
    const ran = await run(server.address().port, RAMP);
    server.close();
    assert.equal(ran.code, 3);
    said.push(ran.document.errors[0].message);
  }
  assert.match(said[0], new RegExp(`it has the settings \\S+, and \\S+ wants ${verdict.fingerprint}; .*meterwright settings`));
  assert.match(said[1], /no settings are in force there; .*meterwright settings/);
  return said.map((it) => it.replaceAll(demo, '')).join('\n');
}

// The field image: no symbol, no text of the live bench, and frames that nobody reads.
async function theFieldImageHasNothingOfTheLiveBench() {
  const word = /live_link|pico_live|4cobs|9live_link/;
  const named = (elf) => elf.symbols.filter((it) => word.test(it.name)).length;
  assert.ok(named(live) > 0, 'the live image has such symbols: the check can see them');
  assert.equal(named(field), 0);
  const text = (elf) => elf.segments.map((it) => Buffer.from(it.bytes).toString('latin1')).join('');
  assert.ok(text(live).includes('start live'));
  assert.ok(!text(field).includes('start live'));
  const drives = (elf) => elf.symbols.filter((it) => /4pico5drill|4pico6valves|4pico7capture/.test(it.name)).length;
  assert.ok(drives(field) > 0, 'the field image has such symbols: the check can see them');
  assert.equal(drives(live), 0, 'the live image has nothing of what reads and drives pins');
  const board = new Board(field, bytes(ramp));
  while (board.lines.length === 0 && board.seconds < 3) board.run(board.seconds + 0.1);
  const hello = [0, 3, 1, 1, 1, 5, ...helloSum(), 0];
  const heard = new LiveBoard(live, bytes(ramp));
  heard.start();
  assert.ok(heard.feed(hello).length > 20, 'a live image answers it');
  for (const byte of hello) board.chip.uart[1].feedByte(byte);
  board.run(board.seconds + 1.5);
  const said = [...board.lines.map((it) => it.text), board.text].join('\n');
  assert.match(said, /^start fingerprint=(?!.*live)/);
  assert.match(said, /^[\x20-\x7e\n]*$/, 'text alone goes out, no frame');
  assert.ok(said.includes('\nstate='), 'it goes on as ever');
  assert.equal(board.chip.uart[1].rxFIFO.itemCount, hello.length, 'nobody reads them');
  return `${field.symbols.length} symbols, none of the live bench (the live image: ${named(live)}); a hello stays unread; ` +
    `the live image has none of the field image's ${drives(field)} symbols of drill, valves and edges`;
}

// The check sum of a hello with number 0: CRC-32/ISO-HDLC of 1, 1, 0, 0.
function helloSum() {
  let sum = ~0;
  for (const byte of [1, 1, 0, 0]) {
    sum ^= byte;
    for (let bit = 0; bit < 8; bit += 1) sum = (sum >>> 1) ^ (sum & 1 ? 0xedb88320 : 0);
  }
  return [0, 8, 16, 24].map((shift) => (~sum >>> shift) & 0xff);
}

const checks = { theEmulatedBoardGivesWhatTheHostGives, theCortexM4GivesWhatTheHostGives, aBoardWithOtherSettingsIsRefused,
  theFieldImageHasNothingOfTheLiveBench };
await runAll(Object.entries(checks));

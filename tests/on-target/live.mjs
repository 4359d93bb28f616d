// The live image on the emulated RP2040, its UART1 bridged to a socket: a board for `meterwright live` without a board.
//
//   host ═ socket ═► bytes at the line's rate ─► UART1 ─► processor ─► UART1 ─► socket
//
// The emulator runs while bytes are on their way or an answer is awaited, and stands while the host reckons. As a program it
// serves one host after the other: node live.mjs LIVE.elf SETTINGS.img.

import { readFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { pathToFileURL } from 'node:url';
import { RP2040 } from 'rp2040js';
import { readElf } from '../../controller/boards/pico/elf.mjs';
import { PINS } from './pins.mjs';

const FLASH = 0x10000000;
const VECTORS = 0x10000100;
const SETTINGS = 0x101ff000;
const NANOS_PER_CYCLE = 8; // 125 MHz
const OUTPUTS = PINS.filter((it) => ['Output', 'Pwm'].includes(it.direction)).map((it) => it.gpio);

export class LiveBoard {
  constructor(elf, settings) {
    this.chip = new RP2040();
    this.chip.logger = { debug() {}, info() {}, warn() {}, error() {} };
    this.chip.flash.fill(0xff);
    for (const { address, bytes } of elf.segments) this.chip.flash.set(bytes, address - FLASH);
    this.chip.flash.set(settings, SETTINGS - FLASH);
    const { core } = this.chip;
    core.VTOR = VECTORS;
    core.SP = this.chip.readUint32(VECTORS);
    core.PC = this.chip.readUint32(VECTORS + 4) & ~1;
    this.out = [];
    this.chip.uart[1].onByte = (byte) => this.out.push(byte);
    // Every output that ever went high, and every pin that was ever lent to the PWM (function 4) or the PIO (6, 7).
    this.went = new Set();
    for (const gpio of OUTPUTS) this.chip.gpio[gpio].addListener((state) => { if (state === 1) this.went.add(gpio); });
  }

  get seconds() { return this.chip.clock.nanos / 1e9; }

  lent() { return OUTPUTS.filter((gpio) => this.chip.gpio[gpio].functionSelect !== 5); }

  // Runs until the processor waits with nothing to come, or to an instant, ns.
  #run(until) {
    const { chip: { core, clock } } = this;
    while (clock.nanos < until) {
      if (core.waiting) {
        if (core.interruptsUpdated && core.checkForInterrupts()) { core.waiting = false; continue; }
        return;
      }
      clock.tick(core.executeInstruction() * NANOS_PER_CYCLE);
    }
  }

  // From power to the first wait.
  start() {
    this.#run(2e9);
    if (!this.chip.core.waiting) throw new Error('it does not come to its first wait');
    return Buffer.from(this.out.splice(0)).toString();
  }

  // Bytes at the rate that the board set; then until it waits again. Gives what it sent meanwhile.
  feed(bytes) {
    const { chip: { core, clock, uart } } = this;
    const each = 10e9 / uart[1].baudRate;
    for (const byte of bytes) {
      const at = clock.nanos + each;
      this.#run(at);
      if (clock.nanos < at) clock.tick(at - clock.nanos);
      if (uart[1].rxFIFO.full) throw new Error('a byte is lost: the FIFO is full');
      uart[1].feedByte(byte);
      if (core.waiting && core.interruptsUpdated && core.checkForInterrupts()) core.waiting = false;
    }
    this.#run(clock.nanos + 1e9);
    return Uint8Array.from(this.out.splice(0));
  }
}

// A line that is spoilt on purpose after so many answers: noise before a question, a flipped bit, a lost answer, noise before
// an answer. Works on whole frames: what stands between zeros.
export class Spoiler {
  constructor(after = Infinity) {
    this.after = after;
    this.answers = 0;
    this.frame = [];
    this.done = 0;
  }

  heard(bytes) {
    if (this.answers !== this.after || this.done > 0) return bytes;
    this.done = 1;
    return Buffer.concat([Buffer.from('noise\0\x55\xaa'), bytes]);
  }

  said(bytes) {
    const out = [];
    for (const byte of bytes) {
      this.frame.push(byte);
      if (byte !== 0 || this.frame.length < 2) continue;
      out.push(...this.#frame(this.frame));
      this.frame = [];
    }
    return Buffer.from(out);
  }

  #frame(frame) {
    this.answers += 1;
    switch (this.answers - this.after) {
      case 10: this.done += 1; return frame.map((byte, index) => (index === 7 ? byte ^ 4 : byte));
      case 20: this.done += 1; return [];
      case 30: this.done += 1; return [...Buffer.alloc(500, 0x33), ...frame];
      default: return frame;
    }
  }
}

// Puts a board at a socket, one host after the other; gives the server once it listens.
export function serve(board, spoiler = new Spoiler()) {
  const server = createServer({ noDelay: true }, (socket) => {
    socket.on('data', (bytes) => {
      const said = spoiler.said(board.feed(spoiler.heard(bytes)));
      if (said.length > 0) socket.write(said);
    });
    socket.on('error', () => {});
  });
  return new Promise((resolve) => { server.listen(0, '127.0.0.1', () => resolve(server)); });
}

if (import.meta.url === pathToFileURL(process.argv[1]).href) {
  const [elf, settings] = process.argv.slice(2);
  const board = new LiveBoard(readElf(readFileSync(elf)), new Uint8Array(readFileSync(settings)));
  console.log(board.start().trim());
  const server = await serve(board);
  console.log(`meterwright live --port tcp:127.0.0.1:${server.address().port} SCENARIO`);
}

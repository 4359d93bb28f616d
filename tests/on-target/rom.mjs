// The emulated chip with what the emulator leaves out of the boot ROM: programming and erasing the flash.
//
//   firmware ─► table of the ROM ─► entry point (BKPT) ─► NOR flash: ones to zeros, or a sector to ones
//                                       └ takes its time; interrupts are served meanwhile
//
// While reading in place is off, a read or a fetch from the flash is an error, as it would be on the chip: there it brings
// rubbish. A cut of the power in the middle leaves what was programmed by then, and of an erase bits at random.

import { RP2040 } from 'rp2040js';

const FLASH = 0x10000000;
const SSI = 0x18000;
const CODES = ['IF', 'EX', 'RP', 'RE', 'FC', 'CX']; // RP2040 data sheet, 2.8.3.1.3
const ENTRY = 0x40;
const LOOK_UP = 0x20;
const TABLE = 0x100;
const BX_LR = 0x4770;
const BKPT = 0xbe00;
const PAGE = 256;
const SECTOR = 4096;
const CAPACITY = 0x200000;

// Typical for 2 MiB of serial flash (common practice); worst: 3 and 400 ms.
export const TYPICAL = { program: 0.7e6, erase: 45e6, clockOut: 0.1e6 }; // ns a page, a sector, a page's bytes

export class PowerCut extends Error {}

// rp2040js with a flash that can be closed.
export class Chip extends RP2040 {
  #look(address, what) {
    if (this.closed && address >>> 26 === FLASH >>> 26) {
      const { core } = this;
      throw new Error(`${what} 0x${(address >>> 0).toString(16)} while the flash is busy, ` +
        `at PC 0x${(core.PC >>> 0).toString(16)} in exception ${core.IPSR}`);
    }
  }
  readUint32(address) { if (this.closed) this.#look(address, 'read of'); return super.readUint32(address); }
  readUint16(address) { if (this.closed) this.#look(address, 'read or fetch of'); return super.readUint16(address); }
  readUint8(address) { if (this.closed) this.#look(address, 'read of'); return super.readUint8(address); }
}

export class Rom {
  constructor(chip, times = TYPICAL) {
    Object.assign(this, { chip, times, busy: null, left: false, flushed: true, operations: [], cut: null, onOperation() {} });
    this.words = new DataView(chip.bootrom.buffer);
    const half = (address, value) => this.words.setUint16(address, value, true);
    half(0x14, TABLE);
    half(0x18, LOOK_UP);
    half(LOOK_UP, BKPT | CODES.length);
    half(LOOK_UP + 2, BX_LR);
    CODES.forEach((code, index) => {
      const entry = ENTRY + 8 * index;
      half(TABLE + 4 * index, code.charCodeAt(0) | (code.charCodeAt(1) << 8));
      half(TABLE + 4 * index + 2, entry | 1);
      half(entry, BKPT | index);
      half(entry + 2, BX_LR);
    });
    half(TABLE + 4 * CODES.length, 0);
    chip.onBreak = (index) => this.#enter(index);
    this.#listen(chip.peripherals[SSI]);
  }

  // The second stage sets reading in place up anew through the flash's own controller: it is on again when that is enabled
  // in its mode for reading without a command. Status register 2 says that four lines are allowed.
  #listen(ssi) {
    const write = ssi.writeUint32.bind(ssi);
    ssi.writeUint32 = (offset, value) => {
      write(offset, value);
      if (offset === 0x60 && value === 0x35) ssi.dr0 = 2;
      if (offset === 0x60 && !this.chip.core.PM) throw new Error('an interrupt may fall between command and address');
      if (offset !== 0x08) return;
      const reads = value === 1 && ((ssi.crtlr0 >>> 8) & 3) === 3 && ((ssi.spictlr0 >>> 8) & 3) === 0;
      if (reads && !this.flushed) throw new Error('what was read before is not forgotten');
      this.chip.closed = !reads;
      if (reads) this.left = false;
    };
  }

  #enter(index) {
    const { chip, chip: { core } } = this;
    const code = CODES[index];
    const [first, second, third] = core.registers;
    if (code === undefined) {
      const found = CODES.findIndex((it) => second === (it.charCodeAt(0) | (it.charCodeAt(1) << 8)));
      core.registers[0] = first === TABLE && found >= 0 ? (ENTRY + 8 * found) | 1 : 0;
      return;
    }
    if (code === 'IF' || code === 'EX') chip.closed = true;
    if (code === 'EX') this.left = true;
    if (code === 'FC') this.flushed = true;
    if (code === 'CX') { chip.closed = false; this.left = false; }
    if (code === 'RP') this.#begin('program', first, Array.from({ length: third }, (_, at) => chip.readUint8(second + at)));
    if (code === 'RE') this.#begin('erase', first, Array(second).fill(0xff));
  }

  #begin(kind, offset, bytes) {
    const unit = kind === 'program' ? PAGE : SECTOR;
    if (!this.left) throw new Error(`${kind} while the flash is read in place`);
    if (offset % unit || bytes.length % unit || bytes.length === 0) throw new Error(`${kind} of ${bytes.length} at ${offset}`);
    const { nanos } = this.chip.clock;
    const units = bytes.length / unit;
    const takes = units * (kind === 'program' ? this.times.program + this.times.clockOut : this.times.erase);
    this.busy = { kind, offset, bytes, begin: nanos, end: nanos + takes, wait: this.chip.core.PC };
    this.flushed = false;
    this.operations.push(this.busy);
    if (this.cut && this.operations.length >= this.cut.operation) this.cut.at = nanos + this.cut.share * takes;
    this.onOperation(this.busy);
  }

  // Cuts the power in the n-th operation from now on, after a share of it.
  cutIn(n, share) { this.cut = { operation: this.operations.length + n, share, at: Infinity }; }

  // The instant of what comes next.
  get next() { return Math.min(this.busy ? this.busy.end : Infinity, this.cut ? this.cut.at : Infinity); }

  // Whether the processor waits for the flash at this instant.
  waits() {
    const { busy, chip: { clock, core } } = this;
    if (this.cut && clock.nanos >= this.cut.at) this.tear();
    if (busy === null || core.PC !== busy.wait) return false;
    if (clock.nanos < busy.end) return true;
    this.#change(this.chip.flash, busy.bytes.length);
    this.busy = null;
    return false;
  }

  #change(flash, length) {
    const { kind, offset, bytes } = this.busy;
    for (let at = 0; at < length; at += 1) {
      flash[offset + at] = kind === 'program' ? flash[offset + at] & bytes[at] : 0xff;
    }
  }

  // What a flash holds when the power is cut after a share of what is under way: bytes programmed by then, one half done;
  // of an erase bits that went to one at random, few in its first half.
  torn(share, flash = this.chip.flash.slice(0, CAPACITY)) {
    const { kind, offset, bytes, begin } = this.busy;
    const done = Math.floor(bytes.length * share);
    let random = (begin >>> 0) | 1;
    const next = () => { random = (Math.imul(random, 1664525) + 1013904223) >>> 0; return random >>> 24; };
    if (kind === 'program') {
      this.#change(flash, done);
      if (done < bytes.length) flash[offset + done] &= bytes[done] | next();
    } else {
      bytes.forEach((_, at) => { flash[offset + at] |= share > 0.5 ? next() | next() : next() & next(); });
    }
    return flash;
  }

  // The power is gone: what is under way stays half done.
  tear() {
    const { busy, chip: { flash, clock } } = this;
    if (busy) this.torn((clock.nanos - busy.begin) / (busy.end - busy.begin), flash);
    throw new PowerCut();
  }
}

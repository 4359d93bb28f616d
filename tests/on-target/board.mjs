// An emulated RP2040 with the image in its flash, started at the vector table: there is no boot ROM.
//
//   flash: image │ settings ─► processor ─► pins ─► listeners (PWM, shut-off)
//   events at their instants ─► pins, serial bytes
//
// What the emulator leaves out: wait states of the flash, the time that serial bytes take on their way out, and the
// cycles that an interrupt's entry and return take.

import { RP2040 } from 'rp2040js';
import { find } from '../../controller/boards/pico/elf.mjs';
import { PINS } from './pins.mjs';

const FLASH = 0x10000000;
const RAM = 0x20000000;
const VECTORS = 0x10000100;
const WATCHDOG = 0x40058;
const SETTINGS = 0x101ff000;
const NANOS_PER_CYCLE = 8; // 125 MHz
const PAINT = 0xa5;

class Bite extends Error {}

export class Board {
  constructor(elf, settings, { bitten = false, patch = () => {} } = {}) {
    this.elf = elf;
    this.chip = new RP2040();
    this.clock = this.chip.clock;
    this.chip.logger = { debug() {}, info() {}, warn() {}, error() {} };
    this.chip.flash.fill(0xff);
    this.chip.sram.fill(PAINT);
    for (const { address, bytes } of elf.segments) this.chip.flash.set(bytes, address - FLASH);
    this.chip.flash.set(settings, SETTINGS - FLASH);
    patch(this.chip.flash, FLASH);
    this.lines = [];
    this.text = '';
    this.chip.uart[1].onByte = (byte) => this.#take(byte);
    this.events = [];
    this.ticks = [];
    this.bite = null;
    const watchdog = this.chip.peripherals[WATCHDOG];
    // Thrown: the emulator's own timer would fire for ever at this instant.
    watchdog.onWatchdogTrigger = () => { throw new Bite(); };
    if (bitten) watchdog.reason = 1;
    this.tickEntry = find(elf, 'tick_of_core').address & ~1;
    const { core } = this.chip;
    core.VTOR = VECTORS;
    core.SP = this.chip.readUint32(VECTORS);
    this.stackTop = core.SP;
    core.PC = this.chip.readUint32(VECTORS + 4) & ~1;
    this.went = new Set();
    for (const { gpio, direction } of PINS) {
      if (['Input', 'Capture', 'Receive', 'Bus'].includes(direction)) this.chip.gpio[gpio].setInputValue(true);
      this.chip.gpio[gpio].addListener((state) => { if (state === 1) this.went.add(gpio); });
    }
  }

  get seconds() { return this.clock.nanos / 1e9; }

  #take(byte) {
    this.text += String.fromCharCode(byte);
    if (!this.text.endsWith('\r\n')) return;
    this.lines.push({ at: this.seconds, text: this.text.slice(0, -2) });
    this.text = '';
  }

  isHigh(gpio) { return this.chip.gpio[gpio].value === 1; }

  set(gpio, level) { if (this.chip.gpio[gpio].rawInputValue !== level) this.chip.gpio[gpio].setInputValue(level); }

  // At an instant, s.
  at(seconds, act) {
    const nanos = seconds * 1e9;
    let place = this.events.length;
    while (place > 0 && this.events[place - 1].nanos < nanos) place -= 1;
    this.events.splice(place, 0, { nanos, act }); // the next one is the last
  }

  // Runs to an instant, or to the watchdog's bite: to start anew is the caller's.
  run(seconds) {
    try {
      this.#run(seconds);
    } catch (error) {
      if (!(error instanceof Bite)) throw error;
      this.bite = this.seconds;
    }
  }

  #run(seconds) {
    const { chip: { core }, clock, events } = this;
    const end = seconds * 1e9;
    let tick = null;
    while (clock.nanos < end) {
      while (events.length > 0 && events[events.length - 1].nanos <= clock.nanos) events.pop().act();
      if (core.waiting) {
        const next = events.length > 0 ? events[events.length - 1].nanos - clock.nanos : Infinity;
        clock.tick(Math.max(1, Math.min(clock.nanosToNextAlarm || Infinity, next, end - clock.nanos)));
        // An interrupt that is due ends the wait.
        if (core.interruptsUpdated && core.checkForInterrupts()) core.waiting = false;
        continue;
      }
      const inside = core.IPSR === 0;
      const cycles = core.executeInstruction();
      clock.tick(cycles * NANOS_PER_CYCLE);
      if (tick && inside) {
        tick.cycles += cycles;
        tick.stack = Math.max(tick.stack, tick.sp - core.SP);
      }
      if (tick) tick.whole += cycles;
      if (core.PC === this.tickEntry) {
        tick = { cycles: 0, whole: 0, stack: 0, sp: core.SP, back: core.LR & ~1, at: this.seconds };
      } else if (tick && core.PC === tick.back && core.IPSR === 0) {
        this.ticks.push(tick);
        tick = null;
      }
    }
  }

  // Fills what is below the stack pointer anew, so that only what comes from now on counts.
  paint() {
    const sp = this.chip.core.SP - RAM;
    this.chip.sram.fill(PAINT, this.#low(), sp);
    this.painted = this.chip.core.SP;
  }

  #low() { return Math.max(...this.elf.symbols.filter((it) => it.name === '__sheap').map((it) => it.address)) - RAM; }

  // Deepest stack since the last paint, bytes from the top.
  stack() {
    let place = this.#low();
    while (this.chip.sram[place] === PAINT) place += 1;
    return this.stackTop - RAM - place;
  }

  word(address) { return this.chip.sramView.getUint32(address - RAM, true); }

  // Edges that a capture channel has counted: 0 encoder 1, 1 encoder 2, 2 ground. Which word of a channel is the count is
  // the compiler's choice; the other is an instant.
  words(channel) {
    const { address, size } = find(this.elf, 'capture', 'CHANNELS');
    const each = size / 3;
    return [0, 4, 8].slice(0, each / 4).map((place) => this.word(address + channel * each + place));
  }
}

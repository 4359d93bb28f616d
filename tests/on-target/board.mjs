// An emulated RP2040 with the image in its flash, started at the vector table; of the boot ROM there is what programs the
// flash (rom.mjs).
//
//   flash: image │ journal │ settings ─► processor ─► pins ─► listeners (PWM, shut-off)
//   events at their instants ─► pins, serial bytes
//   power cut, watchdog ─► a new board with the same flash
//
// What the emulator leaves out: wait states of the flash, the time that serial bytes take on their way out, and the
// cycles that an interrupt's entry and return take.

import { find } from '../../controller/boards/pico/elf.mjs';
import { PINS } from './pins.mjs';
import { Chip, PowerCut, Rom } from './rom.mjs';
import './timing.mjs'; // every board counts the same cycles

const FLASH = 0x10000000;
const RAM = 0x20000000;
const VECTORS = 0x10000100;
const WATCHDOG = 0x40058;
const SETTINGS = 0x101ff000;
const JOURNAL = { address: 0x101df000, bytes: 0x20000 };
const NANOS_PER_CYCLE = 8; // 125 MHz
const PAINT = 0xa5;

class Bite extends Error {}

// The journal's sectors as an image makes them on a new flash, made once: that takes a second and a half.
const begun = new WeakMap();
function journalOf(elf) {
  if (!begun.has(elf)) {
    const board = new Board(elf, new Uint8Array(0), { flash: new Uint8Array(0) });
    for (let more = 0; more < 40 && board.lines.length === 0; more += 1) board.run(board.seconds + 0.1);
    begun.set(elf, board.journal().slice());
  }
  return begun.get(elf);
}

export class Board {
  // `flash`: the bytes that another board left; without it a flash whose journal is begun and holds nothing.
  constructor(elf, settings, { bitten = false, patch = () => {}, flash = null, times } = {}) {
    this.elf = elf;
    this.chip = new Chip();
    this.clock = this.chip.clock;
    this.chip.logger = { debug() {}, info() {}, warn() {}, error() {} };
    this.chip.flash.fill(0xff);
    this.chip.sram.fill(PAINT);
    this.chip.flash.set(flash ?? journalOf(elf), flash ? 0 : JOURNAL.address - FLASH);
    for (const { address, bytes } of elf.segments) this.chip.flash.set(bytes, address - FLASH);
    if (settings) this.chip.flash.set(settings, SETTINGS - FLASH);
    patch(this.chip.flash, FLASH);
    this.rom = new Rom(this.chip, times);
    this.lines = [];
    this.text = '';
    this.chip.uart[1].onByte = (byte) => this.#take(byte);
    this.events = [];
    this.ticks = [];
    this.bite = null;
    this.cut = null;
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

  // Runs to an instant, to the watchdog's bite or a power cut: to start anew is the caller's.
  run(seconds) {
    if (this.cut !== null) return;
    try {
      this.#run(seconds);
    } catch (error) {
      if (error instanceof Bite) this.bite = this.seconds;
      else if (error instanceof PowerCut) this.cut = this.seconds;
      else throw error;
    }
  }

  // The power is cut now.
  powerOff() {
    try { this.rom.tear(); } catch { this.cut = this.seconds; }
  }

  // What starts anew with the flash of this board, after a cut or a bite.
  again({ settings = null, ...how } = {}) {
    return new Board(this.elf, settings, { flash: this.chip.flash.slice(0, 0x200000), bitten: this.bite !== null, ...how });
  }

  // The journal's sectors.
  journal() { return this.chip.flash.subarray(JOURNAL.address - FLASH, JOURNAL.address - FLASH + JOURNAL.bytes); }

  #run(seconds) {
    const { chip: { core }, clock, events, rom } = this;
    const end = seconds * 1e9;
    let tick = null;
    while (clock.nanos < end) {
      while (events.length > 0 && events[events.length - 1].nanos <= clock.nanos) events.pop().act();
      const busy = (rom.busy || rom.cut) && rom.waits();
      // What an event has just raised is served before time goes on.
      if (busy && core.interruptsUpdated && core.checkForInterrupts()) continue;
      if (busy || core.waiting) {
        const next = Math.min(events.length > 0 ? events[events.length - 1].nanos : Infinity, rom.next, end);
        clock.tick(Math.max(1, Math.min(clock.nanosToNextAlarm || Infinity, next - clock.nanos)));
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

  // Edges that a capture channel has counted: 0 encoder 1, 1 encoder 2, 2 ground.
  words(channel) { return [this.captured(channel).count]; }

  // The same with the instant of the last one, µs.
  captured(channel) {
    const { address, size } = find(this.elf, 'capture', 'CHANNELS');
    const [count, edgeAt] = [0, 4].map((place) => this.word(address + channel * size / 3 + place));
    return { count, edgeAt };
  }
}

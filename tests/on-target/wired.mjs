// The board at the machine of the bench: the same code that `verify` runs, as WebAssembly, wired pin by pin.
//
//   every 1 ms   pins of valves ─► high time over the period ─► step ─► edges at their true instants ─► pins
//   every 10 ms  lift, master, side switches ─► bouncing contacts;  receiver ─► bytes at the line's rate
//   at the end   what lies on the soil ─► score of the board, beside the score of the bench's own run
//
// What differs from the bench's own run: the valve's command is read from a pin whose period is 6.7 ms; contacts bounce for
// 8 ms; a sentence takes 18 ms on its way; board and machine are not in step.

import { readFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { Board } from './board.mjs';
import { move, speak } from './machine.mjs';
import { pin } from './pins.mjs';

const STEP = 0.001; // s
const STILL = 0.010; // Without an edge for longer than a period the level of a PWM pin is its duty.
const BAUD = 38_400;
const SWITCHES = ['lift switch', 'master switch', 'side switch 1', 'side switch 2'];
const KINDS = ['', 'at least', 'at most', 'within ±'];

// A scenario in an instance of its own.
export class Scenario {
  constructor(module, path, { seed = 1 } = {}) {
    this.wasm = new WebAssembly.Instance(module, {}).exports;
    this.path = path;
    const text = readFileSync(path, 'utf8');
    this.#file(path, text);
    for (const [, name] of text.matchAll(/^(?:drill|seed|second_seed) = "([^"]+)"/gm)) {
      const beside = `${dirname(path)}/${name}`;
      this.#file(beside, readFileSync(beside, 'utf8'));
    }
    this.#room(Buffer.from(path));
    this.#taken(this.wasm.load(seed));
    this.wasm.figures();
    this.names = this.out().toString().split('\n');
  }

  #room(bytes) {
    const place = this.wasm.room(bytes.length); // may move the memory
    new Uint8Array(this.wasm.memory.buffer, place, bytes.length).set(bytes);
  }

  #file(name, text) {
    const label = Buffer.from(name);
    this.#room(Buffer.concat([label, Buffer.from(text)]));
    this.wasm.file(label.length);
  }

  #taken(refused) { if (refused) throw new Error(this.out().toString()); }

  out() { return Buffer.from(new Uint8Array(this.wasm.memory.buffer, this.wasm.out(), this.wasm.out_length())); }

  image() {
    this.#taken(this.wasm.image());
    return new Uint8Array(this.out());
  }

  truth() {
    const [speed, travel, first, second, metered, asked] = [0, 1, 2, 3, 4, 5].map((what) => this.wasm.truth(what));
    return { speed, travel, shafts: [first, second], metered, asked };
  }

  // Figures by their names: of the board's run once it is finished, of the bench's own.
  score(whose) {
    if (whose === 'pins') this.wasm.finish();
    else this.#taken(this.wasm.run_own());
    const run = whose === 'pins' ? 0 : 1;
    return Object.fromEntries(this.names.map((name, place) => [name, this.wasm.figure(run, place)]));
  }

  // The scenario's own tolerances that a score breaks. What a score does not have is not judged.
  missed(score) {
    const missed = [];
    for (let index = 0; this.wasm.tolerance_kind(index) !== 0; index += 1) {
      const name = this.names[this.wasm.tolerance_figure(index)];
      if (Number.isNaN(score[name]) || this.wasm.tolerance_holds(index, score[name])) continue;
      missed.push(`${name} ${score[name]}, ${KINDS[this.wasm.tolerance_kind(index)]} ${this.wasm.tolerance_limit(index)}`);
    }
    return missed;
  }
}

// What a valve's pins say: the share of high time of the last whole period, or of a motor's two outputs in the last step.
class Valve {
  constructor(board, side, motorised) {
    Object.assign(this, { board, motorised, rose: null, fell: null, duty: 0 });
    this.pins = [pin(`valve ${side + 1}`), pin(`motorised valve ${side + 1} closes`)];
    this.driven = [0, 0];
    this.since = [null, null];
    this.pins.forEach((gpio, way) => board.chip.gpio[gpio].addListener((state) => this.#changed(way, state === 1)));
  }

  #changed(way, high) {
    const now = this.board.seconds;
    if (this.since[way] !== null && !high) this.driven[way] += now - this.since[way];
    this.since[way] = high ? now : null;
    if (way !== 0) return;
    if (!high) { this.fell = now; return; }
    if (this.rose !== null && this.fell > this.rose) this.duty = (this.fell - this.rose) / (now - this.rose);
    this.rose = now;
  }

  command() {
    const now = this.board.seconds;
    if (this.motorised) return this.#run(now);
    const last = Math.max(this.rose ?? -1, this.fell ?? -1);
    return now - last > STILL ? Number(this.board.isHigh(this.pins[0])) : this.duty;
  }

  #run(now) {
    const [opens, closes] = this.driven.map((driven, way) => {
      const till = this.since[way] === null ? 0 : now - this.since[way];
      if (this.since[way] !== null) this.since[way] = now;
      this.driven[way] = 0;
      return (driven + till) / STEP;
    });
    return Math.max(-1, Math.min(1, opens - closes));
  }
}

// A pulse sensor at a pin: up at the true instant, down again before the next one.
class Sensor {
  constructor(board, gpio) {
    Object.assign(this, { board, gpio, wired: true, last: 0, edges: 0 });
    board.set(gpio, false);
  }

  edge(at) {
    const width = Math.min(0.001, Math.max(0.00002, 0.3 * (at - this.last)));
    this.last = at;
    this.edges += 1;
    if (!this.wired) return;
    this.board.at(at, () => {
      if (this.board.chip.gpio[this.gpio].rawInputValue) throw new Error(`GPIO ${this.gpio}: edges run together at ${at} s`);
      this.board.set(this.gpio, true);
    });
    this.board.at(at + width, () => this.board.set(this.gpio, false));
  }
}

// A board with its power on and the piece's first step at `begin`. `master` on from the start is an operator's mistake.
export class Wired {
  constructor(elf, scenario, { begin = 1.2, master = false, motorised = false } = {}) {
    this.scenario = scenario;
    this.board = new Board(elf, scenario.image());
    this.begin = begin;
    this.steps = 0;
    this.levels = [false, master, false, false];
    this.sides = scenario.wasm.sides();
    this.valves = [0, 1].map((side) => new Valve(this.board, side, motorised));
    this.supply = pin('supply shut-off');
    const signals = ['encoder 1, channel A', 'encoder 2, channel A', 'ground pulses'];
    this.sensors = signals.map((signal) => new Sensor(this.board, pin(signal)));
    this.board.set(pin('stop'), false);
    if (master) this.board.set(pin('master switch'), false);
    // Lift and sides stand as the scenario begins; the master waits.
    this.board.at(begin - 0.6, () => { this.sentence = this.#tick([0, 2, 3]); });
    this.board.at(begin, () => this.#step());
  }

  get over() { return this.scenario.wasm.is_over() === 1; }

  // Time of the scenario, s.
  get time() { return this.board.seconds - this.begin; }

  // A tick of hands and receiver; the sentence that starts with it, if any.
  #tick(which) {
    const { wasm } = this.scenario;
    wasm.tick();
    const sentence = this.scenario.out().toString();
    this.#switch(which);
    return sentence;
  }

  #switch(which) {
    const { wasm } = this.scenario;
    for (const index of which) {
      const on = wasm.level(index) === 1;
      if (on === this.levels[index]) continue;
      this.levels[index] = on;
      move(this.board, SWITCHES[index], on);
    }
  }

  #step() {
    const { board, scenario: { wasm } } = this;
    if (this.over) return;
    const now = this.begin + this.steps * STEP;
    if (this.steps === 0) this.#switch([1]);
    else if (this.steps % 10 === 0) this.sentence = this.#tick([0, 1, 2, 3]);
    if (this.sentence) speak(board, now, this.sentence, BAUD);
    this.sentence = '';
    const [first, second] = this.valves.map((valve) => valve.command());
    wasm.step(first, second, Number(board.isHigh(this.supply)));
    this.sensors.forEach((sensor, channel) => {
      for (let edge = 0; edge < wasm.edges(channel); edge += 1) sensor.edge(this.begin + wasm.edge(channel, edge));
    });
    this.steps += 1;
    board.at(this.begin + this.steps * STEP, () => this.#step());
  }

  // Runs to an instant of the scenario, or to its end.
  run(until = Infinity) {
    while (!this.over && this.time < until - 1e-6) {
      const before = this.board.seconds;
      this.board.run(Math.min(before + 0.5, this.begin + until));
      if (this.board.seconds <= before) throw new Error(`the board stands still at ${before} s`);
    }
  }
}

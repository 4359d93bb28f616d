// The machine at the board's pins: two shafts of first order behind their valves, a ground sensor, a driver's hand.
//
//   pin of the valve ─► duty of the last period ─► map ─► lag ─► shaft ─► encoder pulses
//   motorised: two outputs ─► place of the valve instead of the duty
//   shut-off low: no oil, the shafts run down
//
// Plain on purpose: what it proves is that pins, interrupts, PWM and core belong together. How well the law follows a
// true drive is proved on the bench.

import { pin } from './pins.mjs';

const STEP = 0.0001; // s
const STILL = 0.02; // Without a pulse of the PWM for so long its level is its duty.

export class Machine {
  constructor(board, { encoder = 180, perMetre = 130, opening = 0.2, full = 1.2375, lag = 0.15, gain = 1, stroke = null } = {}) {
    Object.assign(this, { board, encoder, perMetre, opening, full, lag, gain, stroke });
    this.shafts = ['valve 1', 'valve 2'].map((valve, index) => ({
      valve: pin(valve),
      closes: pin(`motorised ${valve} closes`),
      place: 0, driven: 0, both: false,
      channel: pin(`encoder ${index + 1}, channel A`),
      rose: null, fell: null, duty: 0, period: null, turns: 0, speed: 0, edges: 0, wired: true, stuck: false,
    }));
    for (const shaft of this.shafts) this.#watch(shaft);
    this.supply = pin('supply shut-off');
    this.ground = pin('ground pulses');
    this.groundWired = true;
    this.speed = () => 0; // m/s at an instant
    this.way = 0;
    this.groundEdges = 0;
    this.begin = board.seconds;
    this.time = board.seconds;
    this.#step();
  }

  #watch(shaft) {
    this.board.chip.gpio[shaft.valve].addListener((state) => {
      const now = this.board.seconds;
      if (state !== 1) { shaft.fell = now; return; }
      if (shaft.rose !== null && shaft.fell > shaft.rose) {
        shaft.period = now - shaft.rose;
        shaft.duty = (shaft.fell - shaft.rose) / shaft.period;
      }
      shaft.rose = now;
    });
  }

  // Where a motorised valve stands after this step, 0 shut to 1 open.
  #turn(shaft) {
    const [opens, closes] = [shaft.valve, shaft.closes].map((gpio) => this.board.isHigh(gpio));
    shaft.both ||= opens && closes;
    shaft.driven += opens || closes ? STEP : 0;
    shaft.place += ((opens ? 1 : 0) - (closes ? 1 : 0)) * STEP / this.stroke;
    shaft.place = Math.min(1, Math.max(0, shaft.place));
    return shaft.place;
  }

  #duty(shaft) {
    if (this.stroke !== null) return this.#turn(shaft);
    const last = Math.max(shaft.rose ?? -1, shaft.fell ?? -1);
    if (this.board.seconds - last > STILL) return this.board.isHigh(shaft.valve) ? 1 : 0;
    return shaft.duty;
  }

  // A rising edge at its instant within the step, and the falling one half a pulse later at most.
  #pulses(gpio, before, after, wired) {
    const edges = Math.floor(after) - Math.floor(before);
    for (const half of [0.5, 1]) {
      const place = (half === 1 ? Math.floor(before) : Math.floor(before - 0.5) + 0.5) + 1;
      if (after < place || !wired) continue;
      const at = this.time + STEP * (place - before) / (after - before);
      this.board.at(at, () => this.board.set(gpio, half === 1));
    }
    if (edges > 1) throw new Error('more than an edge a step');
    return edges;
  }

  #step() {
    const open = this.board.isHigh(this.supply);
    const way = this.way + this.speed(this.time) * STEP;
    this.groundEdges += this.#pulses(this.ground, this.way * this.perMetre, way * this.perMetre, this.groundWired);
    this.way = way;
    for (const shaft of this.shafts) {
      const lift = (this.#duty(shaft) - this.opening) / (1 - this.opening);
      const target = open && !shaft.stuck ? Math.max(0, lift) * this.full * this.gain : 0;
      shaft.speed += (target - shaft.speed) * STEP / this.lag;
      const turns = shaft.turns + shaft.speed * STEP;
      shaft.edges += this.#pulses(shaft.channel, shaft.turns * this.encoder, turns * this.encoder, shaft.wired);
      shaft.turns = turns;
    }
    this.time += STEP;
    this.board.at(this.time, () => this.#step());
  }
}

// A switch that bounces: eight changes of a millisecond, then its level. On is low.
export function move(board, signal, on) {
  const gpio = pin(signal);
  const now = board.seconds;
  for (let bounce = 0; bounce < 8; bounce += 1) {
    board.at(now + bounce * 0.001, () => board.set(gpio, (bounce % 2 === 0) !== on));
  }
  board.at(now + 0.008, () => board.set(gpio, !on));
}

// A serial byte stream at its rate: ten bits a byte.
export function speak(board, at, text, baud) {
  [...Buffer.from(text)].forEach((byte, index) => {
    board.at(at + (index + 1) * 10 / baud, () => board.chip.uart[0].feedByte(byte));
  });
}

// A sentence with its sum (NMEA 0183).
export function sentence(body) {
  const sum = [...Buffer.from(body)].reduce((sum, byte) => sum ^ byte, 0);
  return `$${body}*${sum.toString(16).toUpperCase().padStart(2, '0')}\r\n`;
}

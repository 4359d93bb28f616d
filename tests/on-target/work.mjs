// A board at work: fresh from the start, or sown in at a steady speed.

import { Board } from './board.mjs';
import { Machine, move } from './machine.mjs';
import { OIL, pin } from './pins.mjs';

// Key and value of a status line or an event.
export function parse(line) {
  return Object.fromEntries(line.split(' ').filter((word) => word.includes('=')).map((word) => {
    const place = word.indexOf('=');
    return [word.slice(0, place), word.slice(place + 1)];
  }));
}

export const statusLines = (board) => board.lines.filter((it) => it.text.startsWith('state=')).map((it) => parse(it.text));
export const events = (board) => board.lines.filter((it) => it.text.startsWith('event=')).map((it) => parse(it.text));

// Powered, nothing asked for: the stop is wired and not pressed. `on`: a board that was made already.
export function fresh(elf, settings, { machine = {}, on = null, ...how } = {}) {
  const board = on ?? new Board(elf, settings, how);
  const drill = new Machine(board, machine);
  board.set(pin('stop'), false);
  board.run(0.3);
  return { board, drill };
}

// Side switches on, in work, master off→on; then from a stand to `speed` m/s at 1 m/s².
export function sowing(elf, settings, { speed = 2, until = 5, ...how } = {}) {
  const { board, drill } = fresh(elf, settings, how);
  for (const signal of ['side switch 1', 'side switch 2', 'lift switch']) move(board, signal, true);
  board.run(0.8);
  move(board, 'master switch', true);
  board.run(1.2);
  drill.speed = (t) => Math.min(speed, Math.max(0, t - 1.3));
  board.run(until);
  return { board, drill };
}

// Runs until these pins are low, and stay so for 50 ms; returns after how long they were. None within `within` s.
export function restsAfter(board, gpios, within) {
  const begin = board.seconds;
  let low = null;
  while (board.seconds - begin < within + 0.05) {
    if (gpios.some((gpio) => board.isHigh(gpio))) low = null;
    else low ??= board.seconds;
    if (low !== null && board.seconds - low > 0.05) return low - begin;
    board.run(board.seconds + 0.0005);
  }
  return null;
}

export const oilMoved = (board) => OIL.filter((gpio) => board.went.has(gpio));

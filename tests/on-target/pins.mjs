// The pins by their signal, from the list that firmware and documents share.

import { readFileSync } from 'node:fs';

const list = new URL('../../controller/boards/pico/src/pins.rs', import.meta.url);
const lines = readFileSync(list, 'utf8').matchAll(/^ {4}pin\((\d+), "([^"]+)", (\w+),/gm);

export const PINS = [...lines].map(([, gpio, signal, direction]) => ({ gpio: Number(gpio), signal, direction }));

export function pin(start) {
  const have = PINS.filter((it) => it.signal.startsWith(start));
  if (have.length !== 1) throw new Error(`${have.length} pins for ${start}`);
  return have[0].gpio;
}

// Pins that move oil: nothing but these can turn a shaft.
export const OIL = PINS.filter((it) => /valve|shut-off/.test(it.signal)).map((it) => it.gpio);

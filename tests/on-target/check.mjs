// Runs every check on an image: node check.mjs ELF UF2 FOLDER [WORD]. The folder has a settings image NAME.img and what the
// host reads in it, NAME.json, for each of the names; `wiring.wasm` and `verified.json` (wired-checks.mjs). WORD picks checks
// by their names.

import { readFileSync } from 'node:fs';
import { readElf } from '../../controller/boards/pico/elf.mjs';
import * as checks from './checks.mjs';
import * as cost from './cost.mjs';
import * as flash from './flash.mjs';
import * as flood from './flood.mjs';
import * as power from './power.mjs';
import * as stack from './stack.mjs';
import { runAll, words } from './runner.mjs';
import * as wired from './wired-checks.mjs';

const [elf, uf2, folder, only = ''] = process.argv.slice(2);
const image = (name) => ({
  bytes: new Uint8Array(readFileSync(`${folder}/${name}.img`)),
  host: JSON.parse(readFileSync(`${folder}/${name}.json`, 'utf8')).settings,
});
const given = {
  folder,
  program: process.env.METERWRIGHT, // the host's own
  wiring: new WebAssembly.Module(readFileSync(`${folder}/wiring.wasm`)),
  verified: JSON.parse(readFileSync(`${folder}/verified.json`, 'utf8')), // the ramp, by the command
  elf: readElf(readFileSync(elf)),
  uf2: new Uint8Array(readFileSync(uf2)),
  ...Object.fromEntries(['pulses', 'receiver', 'motorised', 'one'].map((name) => [name, image(name)])),
};
const all = [checks, power, flash, flood, stack, cost, wired].flatMap((it) => Object.entries(it));
await runAll(all.filter(([name]) => words(name).includes(only)).map(([name, check]) => [name, () => check(given)]));

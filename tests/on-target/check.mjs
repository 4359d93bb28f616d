// Runs every check on an image: node check.mjs ELF UF2 PULSES.img PULSES.json RECEIVER.img RECEIVER.json [WORD]

import { readFileSync } from 'node:fs';
import { readElf } from '../../controller/boards/pico/elf.mjs';
import * as checks from './checks.mjs';
import * as cost from './cost.mjs';

const [elf, uf2, pulses, pulsesTold, receiver, receiverTold, only = ''] = process.argv.slice(2);
const image = (bytes, host) => ({
  bytes: new Uint8Array(readFileSync(bytes)),
  host: JSON.parse(readFileSync(host, 'utf8')).settings,
});
const given = {
  elf: readElf(readFileSync(elf)),
  uf2: new Uint8Array(readFileSync(uf2)),
  pulses: image(pulses, pulsesTold),
  receiver: image(receiver, receiverTold),
};
const words = (name) => name.replace(/[A-Z]/g, (sign) => ` ${sign.toLowerCase()}`);

let [passed, failed] = [0, 0];
const all = [...Object.entries(checks), ...Object.entries(cost)];
for (const [name, check] of all.filter(([name]) => words(name).includes(only))) {
  try {
    const figures = check(given);
    passed += 1;
    console.log(`ok      ${words(name)}\n        ${figures.replaceAll('\n', '\n        ')}`);
  } catch (error) {
    failed += 1;
    console.log(`FAILED  ${words(name)}\n        ${error.message.split('\n').join('\n        ')}`);
  }
}
console.log(`${passed} passed, ${failed} failed`);
process.exitCode = failed === 0 ? 0 : 1;

// UF2 files for the boot loader in the chip's ROM: 512-byte blocks, each with 256 bytes and their address.
// Format: Microsoft, "USB Flashing Format (UF2)", github.com/microsoft/uf2; family of the chip from its list of families.
//
//   node uf2.mjs IMAGE.elf OUT.uf2            the program
//   node uf2.mjs SETTINGS.img OUT.uf2         a settings image, at its address in the last sector

import { readFileSync, writeFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { readElf } from './elf.mjs';

const [FIRST, SECOND, LAST] = [0x0a324655, 0x9e5d5157, 0x0ab16f30];
const FAMILY_PRESENT = 0x2000;
const RP2040 = 0xe48bff56;
const [BLOCK, PAGE] = [512, 256];
const SETTINGS = 0x101ff000;

// Segments as whole pages; what no segment fills is 0xff, as erased flash is.
function pages(segments) {
  const pages = new Map();
  for (const { address, bytes } of segments) {
    bytes.forEach((byte, index) => {
      const [place, page] = [(address + index) % PAGE, address + index - (address + index) % PAGE];
      if (!pages.has(page)) pages.set(page, new Uint8Array(PAGE).fill(0xff));
      pages.get(page)[place] = byte;
    });
  }
  return [...pages].sort(([one], [other]) => one - other);
}

export function writeUf2(segments) {
  const all = pages(segments);
  const out = new Uint8Array(all.length * BLOCK);
  all.forEach(([address, bytes], index) => {
    const view = new DataView(out.buffer, index * BLOCK, BLOCK);
    [FIRST, SECOND, FAMILY_PRESENT, address, PAGE, index, all.length, RP2040].forEach((word, place) => {
      view.setUint32(place * 4, word, true);
    });
    out.set(bytes, index * BLOCK + 32);
    view.setUint32(BLOCK - 4, LAST, true);
  });
  return out;
}

export function readUf2(file) {
  return Array.from({ length: file.length / BLOCK }, (_, index) => {
    const view = new DataView(file.buffer, file.byteOffset + index * BLOCK, BLOCK);
    const word = (place) => view.getUint32(place, true);
    if (word(0) !== FIRST || word(4) !== SECOND || word(BLOCK - 4) !== LAST || word(28) !== RP2040) {
      throw new Error(`block ${index} is none`);
    }
    return { address: word(12), bytes: file.subarray(index * BLOCK + 32, index * BLOCK + 32 + word(16)) };
  });
}

if (import.meta.url === pathToFileURL(process.argv[1]).href) {
  const [from, to] = process.argv.slice(2);
  if (!from || !to) {
    console.error('usage: node uf2.mjs IMAGE.elf|SETTINGS.img OUT.uf2');
    process.exit(2);
  }
  const bytes = new Uint8Array(readFileSync(from));
  const settings = Buffer.from(bytes.subarray(0, 4)).toString() === 'MWSI';
  writeFileSync(to, writeUf2(settings ? [{ address: SETTINGS, bytes }] : readElf(bytes).segments));
  console.log(`wrote ${to}: ${settings ? 'settings' : 'program'}`);
}

// Reads an ELF file of a 32-bit little-endian processor: what is loaded where, and where the symbols are.
// Layout: System V ABI, chapters "Object files" and "Program loading".

const LOAD = 1;
const SYMBOLS = 2;

function records(view, offset, size, count) {
  return Array.from({ length: count }, (_, index) => offset + index * size).map((at) => ({
    word: (place) => view.getUint32(at + place, true),
    half: (place) => view.getUint16(at + place, true),
    byte: (place) => view.getUint8(at + place),
  }));
}

function text(bytes, from) {
  return Buffer.from(bytes.subarray(from, bytes.indexOf(0, from))).toString();
}

export function readElf(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (view.getUint32(0) !== 0x7f454c46 || bytes[4] !== 1 || bytes[5] !== 1) throw new Error('no 32-bit ELF file');
  const half = (place) => view.getUint16(place, true);
  const programs = records(view, view.getUint32(28, true), half(42), half(44));
  const sections = records(view, view.getUint32(32, true), half(46), half(48));
  const segments = programs
    .filter((it) => it.word(0) === LOAD && it.word(16) > 0)
    .map((it) => ({ address: it.word(12), bytes: bytes.subarray(it.word(4), it.word(4) + it.word(16)) }));
  const symbols = [];
  for (const table of sections.filter((it) => it.word(4) === SYMBOLS)) {
    const names = sections[table.word(24)].word(16);
    for (const it of records(view, table.word(16), 16, table.word(20) / 16)) {
      symbols.push({ name: text(bytes, names + it.word(0)), address: it.word(4), size: it.word(8) });
    }
  }
  return { segments, symbols };
}

// The one symbol whose mangled name holds all of these words.
export function find(elf, ...words) {
  const have = elf.symbols.filter((it) => it.size > 0 && words.every((word) => it.name.includes(word)));
  if (have.length !== 1) throw new Error(`${have.length} symbols for ${words.join(' ')}`);
  return have[0];
}

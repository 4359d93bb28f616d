// What a function can reach in a linked image: the call graph of its disassembly.
//
//   llvm-objdump ─► functions, their branches ─► all that is reached from one of them ─► symbols that must not be there
//
// A call through a register is a call to anything: it is counted, and the check fails on it. Tail calls are branches.

import { execFileSync } from 'node:child_process';

// By the names of the compiler's library and of Rust's own.
export const FORBIDDEN = {
  panic: /panic|rust_begin_unwind|unwrap_failed|expect_failed|HardFault/,
  float: /__aeabi_(f|d|h)[a-z0-9]+|__aeabi_u?[il]2[fd]|__[a-z]+[sdt]f[23]|__float|__fix|compiler_builtins\d*5float/,
  'wide division': /__aeabi_u?ldivmod|__u?(div|mod)(mod)?[dt]i\d|u64_div_rem|u128_div_rem/,
};

// Functions by name: what they branch to, how many calls go through a register, their size.
export function functions(objdump, file) {
  const text = execFileSync(objdump, ['-d', '--no-show-raw-insn', file], { encoding: 'utf8', maxBuffer: 1 << 28 });
  const known = new Map();
  let have = null;
  for (const line of text.split('\n')) {
    const head = line.match(/^([0-9a-f]+) <(.+)>:$/);
    if (head) {
      have = { name: head[2], calls: new Set(), blind: [] };
      known.set(have.name, have);
      continue;
    }
    const branch = line.match(/^\s*([0-9a-f]+):\s+(b[a-z.]*)\s+(.*)$/);
    if (!branch || !have) continue;
    const [, at, how, where] = branch;
    const target = where.match(/<([^>+]+)(\+0x[0-9a-f]+)?>/);
    // Into the middle of another function leads no branch: what looks like one is the linker's padding.
    if (target) {
      if (target[1] !== have.name && !target[2]) have.calls.add(target[1]);
    } else if (how === 'blx' || (how === 'bx' && where.trim() !== 'lr')) have.blind.push(at);
  }
  return known;
}

// All that is reached from the one function whose name holds `word`, with the way to it.
export function reached(known, word) {
  const starts = [...known.keys()].filter((name) => name.includes(word));
  if (starts.length !== 1) throw new Error(`${starts.length} functions named ${word}`);
  const ways = new Map([[starts[0], [starts[0]]]]);
  for (const [name, way] of ways) {
    for (const call of known.get(name)?.calls ?? []) if (!ways.has(call)) ways.set(call, [...way, call]);
  }
  return ways;
}

// What of it must not be there: kind and way. A kind is told once a function.
export function forbidden(known, ways) {
  const found = [];
  for (const [name, way] of ways) {
    for (const [kind, names] of Object.entries(FORBIDDEN)) if (names.test(name)) found.push({ kind, way });
    for (const at of known.get(name)?.blind ?? []) found.push({ kind: 'call through a register', way: [...way, at] });
  }
  return found;
}

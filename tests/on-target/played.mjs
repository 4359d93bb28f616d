// Plays a trace on each processor: one library, four callers. Each returns what it said, by word.

import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { RP2040 } from 'rp2040js';
import './timing.mjs';
import { find, readElf } from '../../controller/boards/pico/elf.mjs';

const FLASH = 0x10000000;
const TRACE = 0x100000; // in the flash
const SEMIHOSTING = 0xab;
const [OPEN, WRITE, EXIT] = [0x01, 0x05, 0x18]; // Arm, Semihosting for AArch32 and AArch64

export const told = (line) => Object.fromEntries([...line.matchAll(/(\w+)=(\w+)/g)].map(([, key, value]) => [key, value]));
const run = (program, options) => told(execFileSync(program, options, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'inherit'] }));

export const onHost = (program, trace) => run(program, [trace]);

// An instruction takes 2^6 ns of the machine's time: see trace/arm/src/main.rs.
export const onM4 = (elf, trace) => run('qemu-system-arm', ['-M', 'mps2-an386', '-cpu', 'cortex-m4', '-display', 'none',
  '-monitor', 'none', '-serial', 'none', '-semihosting-config', 'enable=on,target=native',
  '-icount', 'shift=6,align=off,sleep=off', '-kernel', elf,
  '-device', `loader,file=${trace},addr=0x21000000,force-raw=on`]);

export async function asWebAssembly(module, trace) {
  const bytes = readFileSync(trace);
  const { instance: { exports } } = await WebAssembly.instantiate(readFileSync(module));
  const place = exports.room(bytes.length);
  new Uint8Array(exports.memory.buffer).set(bytes, place);
  const both = exports.play();
  if (both < 0n) throw new Error('the trace cannot be played');
  return { sum: (both & 0xffffffffn).toString(16).padStart(8, '0'), ticks: String(both >> 32n) };
}

// Runs from the entry of a function to its return; returns its cycles and the depth of its stack.
export function through(core) {
  const [back, top] = [core.LR & ~1, core.SP];
  let [cycles, low] = [0, top];
  while (core.PC !== back || core.SP !== top) {
    cycles += core.executeInstruction();
    if (core.SP < low) low = core.SP;
  }
  return { cycles, stack: top - low };
}

// The M0+ alone, without the clocks of its chip: no interrupt comes, and what instructions take is all that counts. At the
// entry of a function whose symbol holds one of the words of `meet`, its act runs it.
export function onM0(file, trace, meet = {}) {
  const elf = readElf(readFileSync(file));
  const chip = new RP2040();
  const { core, flash } = chip;
  for (const { address, bytes } of elf.segments) flash.set(bytes, address - FLASH);
  flash.set(readFileSync(trace), TRACE);
  let said = '';
  let going = true;
  chip.onBreak = (code) => {
    if (code !== SEMIHOSTING) throw new Error(`breakpoint ${code}`);
    const [operation, block] = core.registers;
    if (operation === WRITE) {
      const [from, length] = [chip.readUint32(block + 4), chip.readUint32(block + 8)];
      said += Buffer.from(Array.from({ length }, (_, index) => chip.readUint8(from + index))).toString();
    } else if (operation === EXIT) going = false;
    core.registers[0] = operation === OPEN ? 1 : 0;
  };
  core.SP = chip.readUint32(FLASH);
  core.PC = chip.readUint32(FLASH + 4) & ~1;
  const acts = new Map(Object.entries(meet).map(([word, act]) => [find(elf, word).address & ~1, act]));
  while (going) {
    const act = acts.get(core.PC);
    if (act) act(core);
    else core.executeInstruction();
  }
  return told(said);
}

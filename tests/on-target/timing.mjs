// The emulator's cycles, set right, and compared with the processor's table.
//
// rp2040js 1.4.1 forgets one register of two: the link register of a PUSH, the counter of a POP. Importing this module adds
// that cycle to each, for every board of the process.

import { RP2040 } from 'rp2040js';

const { prototype } = new RP2040().core.constructor;
const execute = prototype.executeInstruction;
const IN_RAM = 0x20000000;

prototype.executeInstruction = function timed() {
  const counter = this.PC & ~1;
  const opcode = counter < IN_RAM ? this.rp2040.flash16[(counter & 0xffffff) >>> 1] : this.rp2040.readUint16(counter);
  const cycles = execute.call(this);
  const kind = opcode >> 8;
  if (kind !== 0xb5 && kind !== 0xbd) return cycles;
  this.cycles += 1;
  return cycles + 1;
};

// Arm's Cortex-M0+ Technical Reference Manual, summary of the instruction set, as remembered and not looked up; MULS as the
// RP2040 has it, in one cycle. R0 points to RAM, R2 to the single-cycle port (16 bytes on are its outputs), the flag Z is set.
const TABLE = [
  ['ADDS', 1, 0x3001], ['ADCS', 1, 0x4148], ['MULS', 1, 0x4348], ['LSLS', 1, 0x4098], ['SXTH', 1, 0xb208], ['CMP', 1, 0x2800],
  ['NOP', 1, 0xbf00], ['LDR', 2, 0x6801], ['LDR literal', 2, 0x4900], ['LDR by SP', 2, 0x9900], ['LDRB', 2, 0x7801],
  ['LDRH', 2, 0x8801], ['LDRSH', 2, 0x5ec1], ['STR', 2, 0x6001], ['STR by SP', 2, 0x9100], ['STRB', 2, 0x7001],
  ['LDR of the port', 1, 0x6911], ['STR to the port', 1, 0x6111], ['LDM of 2', 3, 0xc818], ['STM of 2', 3, 0xc018],
  ['PUSH of 2', 3, 0xb430], ['PUSH of 1 and LR', 3, 0xb510], ['PUSH of 4 and LR', 6, 0xb5f0], ['POP of 2', 3, 0xbc30],
  ['POP of 1 and PC', 5, 0xbd10], ['POP of 4 and PC', 8, 0xbdf0], ['B', 2, 0xe000], ['BEQ taken', 2, 0xd000],
  ['BNE not taken', 1, 0xd100], ['BL', 3, 0xf000, 0xf800], ['BLX', 2, 0x4788], ['BX', 2, 0x4770], ['ADD to PC', 2, 0x449f],
  ['MOV to PC', 2, 0x46f7], ['MRS', 3, 0xf3ef, 0x8010], ['MSR', 3, 0xf380, 0x8810], ['DSB', 3, 0xf3bf, 0x8f4f],
];

// Instructions that take another number of cycles than in the table.
export function otherwise() {
  const chip = new RP2040();
  const { core } = chip;
  const [code, data, stack] = [IN_RAM, IN_RAM + 0x2000, IN_RAM + 0x1000];
  return TABLE.flatMap(([name, want, ...words]) => {
    core.registers.fill(0, 0, 13);
    [core.registers[0], core.registers[1], core.registers[2]] = [data, code + 0x101, 0xd0000000];
    [core.PC, core.SP, core.LR, core.Z] = [code, stack, code + 0x201, true];
    words.forEach((word, index) => chip.writeUint16(code + 2 * index, word));
    for (let place = 0; place < 32; place += 4) chip.writeUint32(stack + place, code + 0x301);
    const have = core.executeInstruction();
    return have === want ? [] : [`${name} ${have} for ${want}`];
  });
}

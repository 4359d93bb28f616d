// A settings image with a field changed, by the places of the fields that the host lists.

// CRC-32/ISO-HDLC, as the image's last four bytes.
function sum(bytes) {
  let crc = ~0;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return ~crc >>> 0;
}

// Every field of this name has this raw value, little-endian, in as many bytes.
export function changed({ bytes, host }, name, value, size) {
  const image = Uint8Array.from(bytes);
  const places = host.fields.filter((it) => it.name === name);
  if (places.length === 0) throw new Error(`no field ${name}`);
  for (const { offset } of places) {
    for (let at = 0; at < size; at += 1) image[offset + at] = Math.floor(value / 2 ** (8 * at)) & 0xff;
  }
  const end = image.length - 4;
  new DataView(image.buffer).setUint32(end, sum(image.subarray(0, end)), true);
  return image;
}

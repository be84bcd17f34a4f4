/** Bytes as the alphanumeric signs of a QR code (RFC 9285): three signs for two bytes. */
const SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";

class BadBase45 extends Error {
  constructor(got: string) {
    super(`base45: expected signs of RFC 9285 in groups of three or two, got ${got}`);
    this.name = "BadBase45";
  }
}

export function toBase45(bytes: Uint8Array): string {
  let text = "";
  for (let at = 0; at < bytes.length; at += 2) {
    const high = bytes[at] ?? 0;
    const low = bytes[at + 1];
    const value = low === undefined ? high : high * 256 + low;
    text += SIGNS.charAt(value % 45) + SIGNS.charAt(Math.floor(value / 45) % 45);
    if (low !== undefined) text += SIGNS.charAt(Math.floor(value / 2025));
  }
  return text;
}

export function fromBase45(text: string): Uint8Array {
  if (text.length % 3 === 1) throw new BadBase45(text.slice(-4));
  const bytes: number[] = [];
  for (let at = 0; at < text.length; at += 3) {
    const group = text.slice(at, at + 3);
    const digits = [...group].map((sign) => SIGNS.indexOf(sign));
    const [a = 0, b = 0, c = 0] = digits;
    const value = a + b * 45 + c * 2025;
    const two = group.length === 3;
    if (digits.includes(-1) || value > (two ? 0xffff : 0xff)) throw new BadBase45(group);
    if (two) bytes.push(value >> 8);
    bytes.push(value & 0xff);
  }
  return Uint8Array.from(bytes);
}

/** UUID version 7 (RFC 9562, 5.7): 48 bits of Unix milliseconds, then chance. */
export function uuid7(ms: number, random: Uint8Array): string {
  const bytes = new Uint8Array(16);
  bytes.set(random.subarray(0, 10), 6);
  for (let at = 0, rest = Math.max(0, ms); at < 6; at += 1) {
    bytes[5 - at] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes[6] = 0x70 | (at(bytes, 6) & 0x0f);
  bytes[8] = 0x80 | (at(bytes, 8) & 0x3f);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  const cut = (from: number, to: number) => hex.slice(from, to);
  return `${cut(0, 8)}-${cut(8, 12)}-${cut(12, 16)}-${cut(16, 20)}-${cut(20, 32)}`;
}

function at(bytes: Uint8Array, index: number): number {
  return bytes[index] ?? 0;
}

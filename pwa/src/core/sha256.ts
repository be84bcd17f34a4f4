/** SHA-256 (FIPS 180-4) without the browser's help: it is wanted where there is no secure context. */
const FIRST = [
  0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19,
];

/** First 32 bits of the fractional parts of the cube roots of the first 64 primes (4.2.2). */
const ROUND = new Uint32Array(
  `428a2f98 71374491 b5c0fbcf e9b5dba5 3956c25b 59f111f1 923f82a4 ab1c5ed5
   d807aa98 12835b01 243185be 550c7dc3 72be5d74 80deb1fe 9bdc06a7 c19bf174
   e49b69c1 efbe4786 0fc19dc6 240ca1cc 2de92c6f 4a7484aa 5cb0a9dc 76f988da
   983e5152 a831c66d b00327c8 bf597fc7 c6e00bf3 d5a79147 06ca6351 14292967
   27b70a85 2e1b2138 4d2c6dfc 53380d13 650a7354 766a0abb 81c2c92e 92722c85
   a2bfe8a1 a81a664b c24b8b70 c76c51a3 d192e819 d6990624 f40e3585 106aa070
   19a4c116 1e376c08 2748774c 34b0bcb5 391c0cb3 4ed8aa4a 5b9cca4f 682e6ff3
   748f82ee 78a5636f 84c87814 8cc70208 90befffa a4506ceb bef9a3f7 c67178f2`
    .trim()
    .split(/\s+/)
    .map((word) => Number.parseInt(word, 16)),
);

function utf8(text: string): number[] {
  const bytes: number[] = [];
  for (const character of text) {
    const point = character.codePointAt(0) ?? 0;
    if (point < 0x80) bytes.push(point);
    else if (point < 0x800) bytes.push(0xc0 | (point >> 6), 0x80 | (point & 63));
    else if (point < 0x10000)
      bytes.push(0xe0 | (point >> 12), 0x80 | ((point >> 6) & 63), 0x80 | (point & 63));
    else
      bytes.push(
        0xf0 | (point >> 18),
        0x80 | ((point >> 12) & 63),
        0x80 | ((point >> 6) & 63),
        0x80 | (point & 63),
      );
  }
  return bytes;
}

function padded(text: string): DataView {
  const bytes = utf8(text);
  const length = Math.ceil((bytes.length + 9) / 64) * 64;
  const block = new Uint8Array(length);
  block.set(bytes);
  block[bytes.length] = 0x80;
  const view = new DataView(block.buffer);
  view.setUint32(length - 8, Math.floor(bytes.length / 0x20000000));
  view.setUint32(length - 4, (bytes.length << 3) >>> 0);
  return view;
}

const turn = (word: number, by: number) => (word >>> by) | (word << (32 - by));

/** The digest of a text's UTF-8 in lower-case hex. */
export function sha256(text: string): string {
  const view = padded(text);
  const hash = new Uint32Array(FIRST);
  const words = new Uint32Array(64);
  for (let start = 0; start < view.byteLength; start += 64) {
    for (let i = 0; i < 16; i++) words[i] = view.getUint32(start + 4 * i);
    for (let i = 16; i < 64; i++) {
      const w15 = words[i - 15] ?? 0;
      const w2 = words[i - 2] ?? 0;
      const s0 = turn(w15, 7) ^ turn(w15, 18) ^ (w15 >>> 3);
      const s1 = turn(w2, 17) ^ turn(w2, 19) ^ (w2 >>> 10);
      words[i] = (words[i - 16] ?? 0) + s0 + (words[i - 7] ?? 0) + s1;
    }
    compress(hash, words);
  }
  return [...hash].map((word) => word.toString(16).padStart(8, "0")).join("");
}

function compress(hash: Uint32Array, words: Uint32Array): void {
  let [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0, g = 0, h = 0] = hash;
  for (let i = 0; i < 64; i++) {
    const s1 = turn(e, 6) ^ turn(e, 11) ^ turn(e, 25);
    const choice = (e & f) ^ (~e & g);
    const first = (h + s1 + choice + (ROUND[i] ?? 0) + (words[i] ?? 0)) | 0;
    const s0 = turn(a, 2) ^ turn(a, 13) ^ turn(a, 22);
    const majority = (a & b) ^ (a & c) ^ (b & c);
    h = g;
    g = f;
    f = e;
    e = (d + first) | 0;
    d = c;
    c = b;
    b = a;
    a = (first + s0 + majority) | 0;
  }
  const sums = [a, b, c, d, e, f, g, h];
  for (let i = 0; i < 8; i++) hash[i] = (hash[i] ?? 0) + (sums[i] ?? 0);
}

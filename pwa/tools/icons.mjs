// Draws the icons of pwa/public from one list of boxes: `node tools/icons.mjs`.
// The picture: a load seen from above, rows from wall to wall, the last case just coming on.
import { writeFileSync } from "node:fs";
import { deflateSync } from "node:zlib";

const GROUND = "#101820";
const CASE = "#e8edf2";
const NEXT = "#ffb000";
// x, y, width, height in a square of 64; ROOM keeps everything inside a maskable circle
const BOXES = [
  [14, 14, 17, 10, CASE],
  [33, 14, 17, 10, CASE],
  [14, 26, 11, 10, CASE],
  [27, 26, 11, 10, CASE],
  [40, 26, 10, 10, CASE],
  [14, 38, 23, 12, CASE],
  [39, 38, 11, 12, NEXT],
];

function svg() {
  const boxes = BOXES.map(
    ([x, y, w, h, fill]) =>
      `<rect x="${x}" y="${y}" width="${w}" height="${h}" rx="1.5" fill="${fill}"/>`,
  );
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 64 64">` +
    `<rect width="64" height="64" rx="12" fill="${GROUND}"/>${boxes.join("")}</svg>\n`
  );
}

function png(size, scale) {
  const raw = Buffer.alloc(size * (size * 3 + 1));
  const colour = (hex) => [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));
  const offset = (size - size * scale) / 2;
  for (let y = 0; y < size; y += 1) {
    for (let x = 0; x < size; x += 1) {
      const u = ((x + 0.5 - offset) / (size * scale)) * 64;
      const v = ((y + 0.5 - offset) / (size * scale)) * 64;
      const box = BOXES.find(([bx, by, w, h]) => u >= bx && u < bx + w && v >= by && v < by + h);
      raw.set(colour(box ? box[4] : GROUND), y * (size * 3 + 1) + 1 + x * 3);
    }
  }
  const head = Buffer.alloc(13);
  head.writeUInt32BE(size, 0);
  head.writeUInt32BE(size, 4);
  head.set([8, 2, 0, 0, 0], 8);
  const signature = Buffer.from([137, 80, 78, 71, 13, 10, 26, 10]);
  const parts = [chunk("IHDR", head), chunk("IDAT", deflateSync(raw, { level: 9 }))];
  return Buffer.concat([signature, ...parts, chunk("IEND", Buffer.alloc(0))]);
}

function chunk(name, data) {
  const body = Buffer.concat([Buffer.from(name, "latin1"), data]);
  const out = Buffer.alloc(body.length + 8);
  out.writeUInt32BE(data.length, 0);
  body.copy(out, 4);
  out.writeUInt32BE(crc(body), body.length + 4);
  return out;
}

// CRC-32 of the PNG specification (ISO/IEC 15948, annex D), bit by bit: the files are small
function crc(bytes) {
  let value = 0xffffffff;
  for (const byte of bytes) {
    value ^= byte;
    for (let bit = 0; bit < 8; bit += 1) value = (value >>> 1) ^ (value & 1 ? 0xedb88320 : 0);
  }
  return (value ^ 0xffffffff) >>> 0;
}

const folder = new URL("../public/", import.meta.url);
writeFileSync(new URL("icon.svg", folder), svg());
for (const size of [180, 192, 512])
  writeFileSync(new URL(`icon-${size}.png`, folder), png(size, 1.25));
writeFileSync(new URL("icon-maskable-512.png", folder), png(512, 1));

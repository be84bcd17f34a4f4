/**
 * A run of codes that carries more than one code can: any order, any repeats, losses made good.
 *
 * A frame is `RCH1/check/index/total/data`: `check` is the CRC-32 of the whole, which tells both
 * which run a frame belongs to and whether all of it came over; data is base45 of one part.
 */
import { fromBase45, toBase45 } from "./base45";
import { crc32 } from "./crc32";
import { FRAME_HEAD } from "./frame-head";

/** So that one frame is a code of about a hundred modules a side, which a plain camera still reads. */
const FRAME_BYTES = 480;
const MOST_FRAMES = 2_000;

export function toFrames(payload: Uint8Array, frame_bytes = FRAME_BYTES): string[] {
  const check = crc32(payload).toString(16).toUpperCase().padStart(8, "0");
  const total = Math.max(1, Math.ceil(payload.length / frame_bytes));
  return Array.from({ length: total }, (_, index) => {
    const part = payload.subarray(index * frame_bytes, (index + 1) * frame_bytes);
    return `${FRAME_HEAD}${check}/${index}/${total}/${toBase45(part)}`;
  });
}

export interface Progress {
  have: number;
  total: number;
  /** The whole, once every frame is there and the check holds. */
  payload: Uint8Array | null;
}

/** Gathers the frames of one run; a frame of another run starts anew, a broken one is passed over. */
export class Gathering {
  private check = "";
  private total = 0;
  private readonly parts = new Map<number, Uint8Array>();

  /** Take one text; null when it is no frame, or a broken one. */
  take(text: string): Progress | null {
    const frame = parse(text);
    if (!frame) return null;
    if (frame.check !== this.check || frame.total !== this.total) {
      this.parts.clear();
      [this.check, this.total] = [frame.check, frame.total];
    }
    this.parts.set(frame.index, frame.part);
    const payload = this.parts.size === this.total ? this.whole() : null;
    return { have: this.parts.size, total: this.total, payload };
  }

  private whole(): Uint8Array | null {
    const length = [...this.parts.values()].reduce((sum, part) => sum + part.length, 0);
    const payload = new Uint8Array(length);
    let at = 0;
    for (let index = 0; index < this.total; index += 1) {
      const part = this.parts.get(index) ?? new Uint8Array();
      payload.set(part, at);
      at += part.length;
    }
    if (crc32(payload) === parseInt(this.check, 16)) return payload;
    this.parts.clear();
    return null;
  }
}

interface Frame {
  check: string;
  index: number;
  total: number;
  part: Uint8Array;
}

function parse(text: string): Frame | null {
  const match = /^RCH1\/([0-9A-F]{8})\/(\d{1,4})\/(\d{1,4})\/(.*)$/.exec(text);
  if (!match) return null;
  const [, check = "", index = "", total = "", data = ""] = match;
  const [at, of] = [Number(index), Number(total)];
  if (of < 1 || of > MOST_FRAMES || at >= of) return null;
  try {
    return { check, index: at, total: of, part: fromBase45(data) };
  } catch {
    return null;
  }
}

/** Grey pixels of a part of a picture, and how good they are. */
import type { Quality, Region, Size } from "../hits";

export interface Grey extends Size {
  data: Uint8Array;
}

const even = (value: number): number => Math.max(0, 2 * Math.floor(value / 2));

/** The pixels of a part, no more of them than `most` along the longer side. */
export async function fromFrame(frame: VideoFrame, part: Region, most: number): Promise<Grey> {
  const turned = (frame as { rotation?: number }).rotation ?? 0;
  const flat = frame.format === "I420" || frame.format === "NV12" || frame.format === "I420A";
  const seen = frame.visibleRect;
  // a frame that must still be turned is drawn: drawing turns it
  if (!flat || turned !== 0 || !seen) return drawn(frame, sizeOf(frame), part, most);
  const rect = {
    x: even(seen.x + part.x * seen.width),
    y: even(seen.y + part.y * seen.height),
    width: Math.max(2, even(part.width * seen.width)),
    height: Math.max(2, even(part.height * seen.height)),
  };
  const bytes = new Uint8Array(frame.allocationSize({ rect }));
  const [luma] = await frame.copyTo(bytes, { rect });
  if (!luma) throw new Error("camera: expected a plane of light in the picture, got none");
  const step = Math.max(1, Math.ceil(Math.max(rect.width, rect.height) / most));
  return shrunk(bytes.subarray(luma.offset), luma.stride, rect, step);
}

export const sizeOf = (frame: VideoFrame): Size => ({
  width: frame.displayWidth,
  height: frame.displayHeight,
});

/** Draw a part and take its green: of the three it is nearest to what the eye calls light. */
export function drawn(
  picture: VideoFrame | ImageBitmap,
  { width, height }: Size,
  part: Region,
  most: number,
): Grey {
  const [wide, high] = [part.width * width, part.height * height];
  const scale = Math.min(1, most / Math.max(wide, high));
  const size = {
    width: Math.max(1, Math.round(wide * scale)),
    height: Math.max(1, Math.round(high * scale)),
  };
  const paper = new OffscreenCanvas(size.width, size.height).getContext("2d", {
    willReadFrequently: true,
  });
  if (!paper) throw new Error("camera: expected a canvas to draw on, got none");
  const [x, y] = [part.x * width, part.y * height];
  paper.drawImage(picture, x, y, wide, high, 0, 0, size.width, size.height);
  const { data } = paper.getImageData(0, 0, size.width, size.height);
  const grey = new Uint8Array(size.width * size.height);
  for (let at = 0; at < grey.length; at += 1) grey[at] = data[at * 4 + 1] ?? 0;
  return { data: grey, ...size };
}

/** Every `step` pixels made one, by their mean: smaller, and the noise of a dark picture less. */
export function shrunk(
  from: Uint8Array,
  stride: number,
  { width, height }: Size,
  step: number,
): Grey {
  const [wide, high] = [Math.floor(width / step), Math.floor(height / step)];
  const data = new Uint8Array(wide * high);
  if (step === 1) {
    for (let y = 0; y < high; y += 1)
      data.set(from.subarray(y * stride, y * stride + wide), y * wide);
    return { data, width: wide, height: high };
  }
  for (let y = 0; y < high; y += 1)
    for (let x = 0; x < wide; x += 1) {
      let sum = 0;
      for (let v = 0; v < step; v += 1)
        for (let u = 0; u < step; u += 1) sum += from[(y * step + v) * stride + x * step + u] ?? 0;
      data[y * wide + x] = sum / (step * step);
    }
  return { data, width: wide, height: high };
}

/** As readers take it; `stretch`: from the darkest to the brightest grey over the whole range. */
export function asPicture({ data, width, height }: Grey, stretch: boolean): ImageData {
  const [low, high] = stretch ? spread(data) : [0, 255];
  const scale = 255 / Math.max(1, high - low);
  const shade = Uint32Array.from({ length: 256 }, (_, grey) => {
    const value = Math.max(0, Math.min(255, Math.round((grey - low) * scale)));
    return ((255 << 24) | (value * 0x010101)) >>> 0;
  });
  const pixels = new Uint32Array(width * height);
  for (let at = 0; at < pixels.length; at += 1) pixels[at] = shade[data[at] ?? 0] ?? 0;
  return new ImageData(new Uint8ClampedArray(pixels.buffer), width, height);
}

const DARK = 38;
/** Between the darkest and the brightest hundredth; below it a picture shows nothing to judge. */
const FLAT = 48;
/** The steepest edges of a sharp label take one or two pixels, those of a blurred one many. */
const STEEP = 0.16;

/** Why nothing may be read in a picture: too little light, or nothing sharp in it. */
export function qualityOf(grey: Grey): Quality {
  const { data, width, height } = grey;
  let sum = 0;
  for (let at = 0; at < data.length; at += 7) sum += data[at] ?? 0;
  const [low, high] = spread(data);
  if ((sum * 7) / Math.max(1, data.length) < DARK && high < 2.5 * DARK) return "dark";
  if (high - low < FLAT) return "good";
  const across = new Uint32Array(256);
  const down = new Uint32Array(256);
  for (let y = 1; y < height; y += 2)
    for (let x = 1; x < width; x += 2) {
      const here = data[y * width + x] ?? 0;
      count(across, Math.abs(here - (data[y * width + x - 1] ?? 0)));
      count(down, Math.abs(here - (data[(y - 1) * width + x] ?? 0)));
    }
  const steepest = Math.min(upper(across, 0.998), upper(down, 0.998));
  return steepest / (high - low) < STEEP ? "blurred" : "good";
}

function count(into: Uint32Array, value: number): void {
  into[value] = (into[value] ?? 0) + 1;
}

function spread(data: Uint8Array): [number, number] {
  const greys = new Uint32Array(256);
  for (let at = 0; at < data.length; at += 3) count(greys, data[at] ?? 0);
  return [upper(greys, 0.01), upper(greys, 0.99)];
}

/** The value below which so large a share of what was counted lies. */
function upper(counts: Uint32Array, share: number): number {
  const all = counts.reduce((sum, each) => sum + each, 0);
  let below = 0;
  for (let value = 0; value < counts.length; value += 1) {
    below += counts[value] ?? 0;
    if (below >= all * share) return value;
  }
  return counts.length - 1;
}

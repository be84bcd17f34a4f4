/** One phone's events as a run of codes on its screen, round and round until the other has them. */
import { toFrames } from "../core/frames";
import type { RowcallEvent } from "../core/events";
import { pack } from "./packing";

/** Four a second: a camera sees each at least once whole, between two screen refreshes. */
const FRAME_MS = 250;

export interface Showing {
  frames: number;
  events: number;
  stop(): void;
}

/** Draw the run on a canvas; `tick` hears which frame stands there. */
export async function showEvents(
  events: RowcallEvent[],
  canvas: HTMLCanvasElement,
  tick: (index: number) => void = () => undefined,
): Promise<Showing> {
  const { default: qrcode } = await import("qrcode-generator");
  const frames = toFrames(await pack(events));
  let index = 0;
  const draw = () => {
    const code = qrcode(0, "M");
    code.addData(frames[index] ?? "", "Alphanumeric");
    code.make();
    paint(canvas, code.getModuleCount(), (row, column) => code.isDark(row, column));
    tick(index);
    index = (index + 1) % frames.length;
  };
  draw();
  const timer = setInterval(draw, FRAME_MS);
  return { frames: frames.length, events: events.length, stop: () => clearInterval(timer) };
}

/** Black on white with the quiet zone of four modules that ISO/IEC 18004 asks for. */
function paint(
  canvas: HTMLCanvasElement,
  count: number,
  dark: (row: number, column: number) => boolean,
): void {
  const scale = 6;
  const side = (count + 8) * scale;
  if (canvas.width !== side) [canvas.width, canvas.height] = [side, side];
  const paper = canvas.getContext("2d");
  if (!paper) return;
  paper.fillStyle = "#fff";
  paper.fillRect(0, 0, side, side);
  paper.fillStyle = "#000";
  for (let row = 0; row < count; row += 1)
    for (let column = 0; column < count; column += 1)
      if (dark(row, column)) paper.fillRect((column + 4) * scale, (row + 4) * scale, scale, scale);
}

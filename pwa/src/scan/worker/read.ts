/** Codes in pixels: by the detector that the phone brings, else by our own reader. */
import { prepareZXingModule, readBarcodes, type ReaderOptions } from "zxing-wasm/reader";
import wasm from "zxing-wasm/reader/zxing_reader.wasm?url";
import type { Hit, Region } from "../hits";

// the library's own address for this file is a foreign host
prepareZXingModule({ overrides: { locateFile: () => wasm } });

const MOST_LABELS = 80;
const USUAL: ReaderOptions = {
  formats: ["QRCode", "Code128"],
  tryHarder: true,
  maxNumberOfSymbols: MOST_LABELS,
};

/** Also the kinds that other systems' stickers have: only where tags are known or being bound. */
let every = false;

export function readKinds(all: boolean): void {
  if (all !== every) native = null; // a detector is made for its kinds
  every = all;
}

interface NativeDetector {
  detect(
    picture: ImageData,
  ): Promise<{ rawValue: string; format: string; cornerPoints: { x: number; y: number }[] }[]>;
}

type NativeKind = {
  new (options: { formats: string[] }): NativeDetector;
  getSupportedFormats(): Promise<string[]>;
};

/** Not every detector that is there reads QR codes. */
async function found(): Promise<NativeDetector | null> {
  const kind = (globalThis as { BarcodeDetector?: NativeKind }).BarcodeDetector;
  if (!kind) return null;
  try {
    const formats = await kind.getSupportedFormats();
    const wanted = ["qr_code", "code_128"].filter((format) => formats.includes(format));
    if (!wanted.includes("qr_code")) return null;
    return new kind({ formats: every ? formats.filter((one) => one !== "unknown") : wanted });
  } catch {
    return null;
  }
}

let native: Promise<NativeDetector | null> | null = null;

/** Every label of a part of the camera's picture, in shares of the whole picture.
 *
 * `bars`: bar codes too. Our labels are QR codes, and those alone are read in half the time.
 */
export async function readPart(picture: ImageData, part: Region, bars: boolean): Promise<Hit[]> {
  native ??= found();
  const detector = await native;
  if (!detector) {
    const formats: ReaderOptions["formats"] = bars ? ["QRCode", "Code128"] : ["QRCode"];
    return readAll(picture, part, { tryInvert: false, ...(bars && every ? {} : { formats }) });
  }
  const hits = await detector.detect(picture).catch(() => null);
  // a detector may be there and still fail, where the phone's own services are missing
  if (hits === null) native = Promise.resolve(null);
  return (hits ?? []).map(({ rawValue, format, cornerPoints }) => ({
    ...hit(rawValue, cornerPoints, picture, part),
    ...foreign(format),
  }));
}

export async function readAll(
  picture: ImageData,
  part: Region,
  more: ReaderOptions = {},
): Promise<Hit[]> {
  const kinds: ReaderOptions = every ? { formats: [] } : {};
  const all = await readBarcodes(picture, { ...USUAL, ...kinds, ...more });
  return all
    .filter((one) => one.isValid)
    .map(({ text, position, format }) => {
      const { topLeft, topRight, bottomRight, bottomLeft } = position;
      const corners = [topLeft, topRight, bottomRight, bottomLeft];
      return { ...hit(text, corners, picture, part), ...foreign(format) };
    });
}

/** Neither of the two kinds that our labels have, by either reader's name for them. */
const foreign = (format: string): { foreign?: true } =>
  /^(qr[ _]?code(model[12])?|code[ _]?128)$/i.test(format) ? {} : { foreign: true };

function hit(
  text: string,
  corners: { x: number; y: number }[],
  { width, height }: ImageData,
  part: Region,
): Hit {
  const box = corners.map(({ x, y }) => [
    part.x + (x / width) * part.width,
    part.y + (y / height) * part.height,
  ]);
  return { text, box };
}

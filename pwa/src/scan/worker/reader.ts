/** Decodes pictures beside the page, so that the page never stutters. */
import { prepareZXingModule, readBarcodes, type ReadResult } from "zxing-wasm/reader";
import wasm from "zxing-wasm/reader/zxing_reader.wasm?url";
import type { Hit, Job, JobDone } from "../hits";

// the library's own address for this file is a foreign host
prepareZXingModule({ overrides: { locateFile: () => wasm } });

const MOST_LABELS = 80;

addEventListener("message", (event: MessageEvent<Job>) => {
  const { id, picture } = event.data;
  decode(picture).then(
    (hits) => answer({ id, hits, failed: null }),
    (error: unknown) => answer({ id, hits: [], failed: String(error) }),
  );
});

async function decode(picture: ImageData): Promise<Hit[]> {
  const found = await readBarcodes(picture, {
    formats: ["QRCode", "Code128"],
    tryHarder: true,
    maxNumberOfSymbols: MOST_LABELS,
  });
  return found.filter((result) => result.isValid).map((result) => hit(result, picture));
}

function hit({ text, position }: ReadResult, { width, height }: ImageData): Hit {
  const { topLeft, topRight, bottomRight, bottomLeft } = position;
  const corners = [topLeft, topRight, bottomRight, bottomLeft];
  return { text, box: corners.map(({ x, y }) => [x / width, y / height]) };
}

function answer(done: JobDone): void {
  postMessage(done);
}

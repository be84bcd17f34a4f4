/** Decodes a photo on the phone itself. */
import { decode } from "./decoder";
import type { Hit } from "./hits";
import { drawn } from "./picture";

export { asJpeg } from "./picture";

export type PhotoHit = Hit;

/** A photo of 12 megapixels is made smaller first: labels of a row still have pixels enough. */
const LONGEST_SIDE = 2_600;

export async function decodePhoto(photo: Blob): Promise<PhotoHit[]> {
  const { canvas, paper } = await drawn(photo, LONGEST_SIDE);
  return decode(paper.getImageData(0, 0, canvas.width, canvas.height));
}

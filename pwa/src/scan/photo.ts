/** Decodes a photo on the phone itself. */
import { decode } from "./decoder";

export interface PhotoHit {
  text: string;
  /** Four corners as shares of the picture's width and height. */
  box: number[][];
}

/** A photo of 12 megapixels is made smaller first: labels of a row still have pixels enough. */
const LONGEST_SIDE = 2_600;

export async function decodePhoto(photo: Blob): Promise<PhotoHit[]> {
  const picture = await createImageBitmap(photo, { imageOrientation: "from-image" });
  const scale = Math.min(1, LONGEST_SIDE / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  const paper = canvas.getContext("2d", { willReadFrequently: true });
  if (!paper) throw new Error("photo: expected a canvas to draw on, got none");
  paper.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return decode(paper.getImageData(0, 0, canvas.width, canvas.height));
}

export async function sizeOf(photo: Blob): Promise<{ width: number; height: number }> {
  const picture = await createImageBitmap(photo, { imageOrientation: "from-image" });
  const { width, height } = picture;
  picture.close();
  return { width, height };
}

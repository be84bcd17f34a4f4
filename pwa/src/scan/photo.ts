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
  const { canvas, paper } = await drawn(photo, LONGEST_SIDE);
  return decode(paper.getImageData(0, 0, canvas.width, canvas.height));
}

/** A photo as the server takes it: JPEG, upright, no larger than it need be. */
export async function asJpeg(photo: Blob, longest: number): Promise<Blob> {
  const { canvas } = await drawn(photo, longest);
  return new Promise<Blob>((done, failed) => {
    const made = (blob: Blob | null) =>
      blob ? done(blob) : failed(new Error("photo: expected a JPEG of the picture, got none"));
    canvas.toBlob(made, "image/jpeg", 0.85);
  });
}

async function drawn(photo: Blob, longest: number) {
  const picture = await createImageBitmap(photo, { imageOrientation: "from-image" });
  const scale = Math.min(1, longest / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(picture.width * scale);
  canvas.height = Math.round(picture.height * scale);
  const paper = canvas.getContext("2d", { willReadFrequently: true });
  if (!paper) throw new Error("photo: expected a canvas to draw on, got none");
  paper.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return { canvas, paper };
}

export async function sizeOf(photo: Blob): Promise<{ width: number; height: number }> {
  const picture = await createImageBitmap(photo, { imageOrientation: "from-image" });
  const { width, height } = picture;
  picture.close();
  return { width, height };
}

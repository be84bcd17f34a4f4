/** A photo drawn anew: upright, smaller, as a JPEG. */

/** A photo as the server takes it: JPEG, upright, no larger than it need be. */
export async function asJpeg(photo: Blob, longest: number): Promise<Blob> {
  const { canvas } = await drawn(photo, longest);
  return new Promise<Blob>((done, failed) => {
    const made = (blob: Blob | null) =>
      blob ? done(blob) : failed(new Error("photo: expected a JPEG of the picture, got none"));
    canvas.toBlob(made, "image/jpeg", 0.85);
  });
}

export async function drawn(photo: Blob, longest: number) {
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

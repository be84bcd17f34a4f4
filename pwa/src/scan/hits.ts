/** What page and reader say to each other. */

/** What a decoder found in one picture. */
export interface Hit {
  text: string;
  /** Four corners, each a share of the picture's width and height. */
  box: number[][];
  /** Of a kind that our labels never have: it counts only as a known tag. */
  foreign?: true;
}

export interface Size {
  width: number;
  height: number;
}

/** A rectangle of a picture, as shares of its width and height. */
export interface Region extends Size {
  x: number;
  y: number;
}

export const WHOLE: Region = { x: 0, y: 0, width: 1, height: 1 };

/** Parts of the camera's picture: what the aim frame covers, what the screen shows. */
export interface Regions {
  aim: Region;
  shown: Region;
}

/** One picture of the camera, looked through. */
export interface Look {
  hits: Hit[];
  /** Of the whole picture, upright. */
  size: Size;
  /** When the reader had the picture, in milliseconds since 1970. */
  taken: number;
  /** True where all that the screen shows was looked at, false where only the frame was. */
  wide: boolean;
  quality: Quality;
}

/** Why a picture gives no label: told in words. */
export type Quality = "good" | "dark" | "blurred";

/** What the page asks of the reader. */
export type Job =
  | { kind: "photo"; id: number; picture: ImageData }
  | { kind: "stream"; readable: ReadableStream<VideoFrame> }
  | { kind: "regions"; regions: Regions }
  | { kind: "part"; id: number; bitmap: ImageBitmap; part: Region; size: Size; wide: boolean }
  | { kind: "kinds"; every: boolean }
  | { kind: "end" };

/** What the reader answers: to a photo, to a part of a picture, or a look at its own stream. */
export type JobDone =
  | { id: number; hits: Hit[]; failed: string | null; look?: Look }
  | { id: null; hits: Hit[]; failed: string | null; look: Look };

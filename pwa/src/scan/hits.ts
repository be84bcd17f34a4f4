/** What a decoder found in one picture. */
export interface Hit {
  text: string;
  /** Four corners, each a share of the picture's width and height. */
  box: number[][];
}

export interface Job {
  id: number;
  picture: ImageData;
}

export interface JobDone {
  id: number;
  hits: Hit[];
  failed: string | null;
}

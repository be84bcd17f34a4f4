/** How a code of a hand-over begins: told apart before the rest of it is loaded. */
export const FRAME_HEAD = "RCH1/";

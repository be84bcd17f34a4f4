/** English words of the loader's path; the build leaves the rest to `late.ts`. */
import english from "./en.json";

export const early: Readonly<Record<string, string>> = english;

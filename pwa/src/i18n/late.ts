/** English words of the screens that load late; the build fills them in, see tools/early-words.ts. */
export const late: Readonly<Record<string, string>> = {};

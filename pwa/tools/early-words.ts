/** English words by when they are wanted: what the loader's path never says travels later. */
import { readFileSync, readdirSync } from "node:fs";
import { join } from "node:path";
import type { Plugin } from "vite";

/** Parts of the source that load when somebody first asks for them, see `screens/app/lazy.tsx`. */
const LATE = [
  "office",
  "screens/case",
  "screens/chief",
  "screens/checks/checks",
  "screens/checks/hazards",
  "screens/phone/connection",
  "screens/phone/hand-over",
  "screens/phone/settings",
  "screens/next/briefing",
  "screens/rows",
  "screens/app/menu",
  "screens/scan/live",
  "screens/scan/no-camera",
  "screens/scan/photo",
  "screens/scan/recent",
  "screens/scan/row-photo",
  "screens/scan/scan",
  "screens/shared/figures",
  "screens/shared/handling-card",
  "screens/shared/photo-view",
  "screens/shared/seen",
  "screens/shared/unplaced-note",
  "screens/wall",
];

/** Parts the words between `i18n/early.ts` and `i18n/late.ts`; without it early has them all. */
export function earlyWords(root: string): Plugin {
  return {
    name: "rowcall-early-words",
    enforce: "pre",
    load(id) {
      const asked = /\/src\/i18n\/(early|late)\.ts$/.exec(id)?.[1];
      if (!asked) return null;
      const words = JSON.parse(readFileSync(join(root, "src/i18n/en.json"), "utf8")) as Record<
        string,
        string
      >;
      const early = earlyKeys(root, Object.keys(words));
      const kept = Object.entries(words).filter(([key]) => early.has(key) === (asked === "early"));
      const text = JSON.stringify(Object.fromEntries(kept));
      return { code: `export const ${asked} = ${text};`, moduleType: "js" };
    },
  };
}

/** Keys that a file of the loader's path names, whole or by how they begin. */
function earlyKeys(root: string, keys: readonly string[]): Set<string> {
  const text = sources(join(root, "src"), "")
    .map((path) => readFileSync(path, "utf8"))
    .join("\n");
  const starts = [...text.matchAll(/`([a-z_]+\.[\w.]*)\$\{/g)].map((found) => found[1] ?? "");
  return new Set(
    keys.filter(
      (key) =>
        key === "@plural" ||
        text.includes(`"${key}"`) ||
        starts.some((start) => key.startsWith(start)),
    ),
  );
}

function sources(folder: string, path: string): string[] {
  return readdirSync(join(folder, path), { withFileTypes: true }).flatMap((entry) => {
    const inner = path ? `${path}/${entry.name}` : entry.name;
    if (LATE.some((late) => inner.startsWith(late))) return [];
    if (entry.isDirectory()) return sources(folder, inner);
    return /\.tsx?$/.test(entry.name) ? [join(folder, inner)] : [];
  });
}

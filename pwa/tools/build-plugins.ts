import { createHash } from "node:crypto";
import { readFileSync, readdirSync, statSync, writeFileSync } from "node:fs";
import { join, relative } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";
import type { Plugin, Rolldown } from "vite";

/** One file that the service worker keeps: its address, and a digest of what it holds. */
interface Kept {
  url: string;
  digest: string;
}

// the word in sw.ts that the list takes the place of
const LIST = "__PRECACHE__";
const LARGE = 500_000;
const COMPRESSED = /\.(js|css|html|svg|json|wasm|webmanifest)$/;

/** Writes the list of files for a whole night into sw.js, then presses every text file. */
export function nightFiles(): Plugin {
  let officeOnly = new Set<string>();
  return {
    name: "rowcall-night-files",
    apply: "build",
    generateBundle(_options, bundle) {
      const crew = closure(bundle, "main");
      officeOnly = new Set([...closure(bundle, "office")].filter((file) => !crew.has(file)));
    },
    writeBundle(options) {
      const dist = options.dir ?? "dist";
      const files = walk(dist).filter((file) => !/\.(br|gz)$/.test(file));
      const kept = files.filter((file) => keep(relative(dist, file), officeOnly));
      const list = kept.map((file): Kept => ({ url: address(dist, file), digest: digest(file) }));
      list.sort((a, b) => (a.url < b.url ? -1 : 1));
      const worker = join(dist, "sw.js");
      const source = readFileSync(worker, "utf8");
      if (!source.includes(LIST)) throw new Error(`sw.js: expected the word ${LIST} in it`);
      const build = createHash("sha256").update(JSON.stringify(list)).digest("hex").slice(0, 16);
      const night = JSON.stringify({ build, files: list });
      writeFileSync(
        worker,
        source.replace(LIST, () => night),
      );
      for (const file of files) if (COMPRESSED.test(file)) press(file);
    },
  };
}

/** Every file that an entry may ever load. */
function closure(bundle: Rolldown.OutputBundle, entry: string): Set<string> {
  const start = Object.values(bundle).find(
    (item) => item.type === "chunk" && item.isEntry && item.name === entry,
  );
  const found = new Set<string>();
  const waiting = start ? [start.fileName] : [];
  for (let file = waiting.pop(); file !== undefined; file = waiting.pop()) {
    if (found.has(file)) continue;
    found.add(file);
    const item = bundle[file];
    if (item?.type !== "chunk") continue;
    const styles = [...(item.viteMetadata?.importedCss ?? [])];
    const assets = [...(item.viteMetadata?.importedAssets ?? [])];
    waiting.push(...item.imports, ...item.dynamicImports, ...styles, ...assets);
  }
  return found;
}

function keep(file: string, officeOnly: Set<string>): boolean {
  const pages = ["sw.js", "office.html", "verify.html"];
  return !pages.includes(file) && !officeOnly.has(file);
}

function address(dist: string, file: string): string {
  const path = relative(dist, file).replaceAll("\\", "/");
  return path === "index.html" ? "/" : `/${path}`;
}

function digest(file: string): string {
  return createHash("sha256").update(readFileSync(file)).digest("hex").slice(0, 16);
}

/** Beside the file its brotli and gzip form, for a server that only has to pick one. */
function press(file: string): void {
  const bytes = readFileSync(file);
  // the last two steps of brotli cost the scanner's megabyte many seconds and save it little
  const quality = bytes.length > LARGE ? 9 : 11;
  const params = { [constants.BROTLI_PARAM_QUALITY]: quality };
  writeFileSync(`${file}.br`, brotliCompressSync(bytes, { params }));
  writeFileSync(`${file}.gz`, gzipSync(bytes, { level: 9 }));
}

function walk(folder: string): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    return statSync(path).isDirectory() ? walk(path) : [path];
  });
}

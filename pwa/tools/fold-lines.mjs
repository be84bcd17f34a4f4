// Builds tests/NAME.ts (fold-lines unless another is named) and runs it: JSON lines in and out.
import { rmSync } from "node:fs";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "vite";

const root = fileURLToPath(new URL("..", import.meta.url));
const name = process.argv[2] ?? "fold-lines";
const out = `${root}node_modules/.cache/${name}-${process.pid}`;
try {
  await build({
    root,
    configFile: false,
    logLevel: "error",
    build: {
      ssr: true,
      target: "node20",
      outDir: out,
      rollupOptions: { input: `${root}tests/${name}.ts` },
    },
  });
  await import(pathToFileURL(`${out}/${name}.js`).href);
} finally {
  rmSync(out, { recursive: true, force: true });
}

// Builds tests/fold-lines.ts and runs it in this process: JSON lines in, JSON lines out.
import { rmSync } from "node:fs";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "vite";

const root = fileURLToPath(new URL("..", import.meta.url));
const out = `${root}node_modules/.cache/fold-lines-${process.pid}`;
try {
  await build({
    root,
    configFile: false,
    logLevel: "error",
    build: {
      ssr: true,
      target: "node20",
      outDir: out,
      rollupOptions: { input: `${root}tests/fold-lines.ts` },
    },
  });
  await import(pathToFileURL(`${out}/fold-lines.js`).href);
} finally {
  rmSync(out, { recursive: true, force: true });
}

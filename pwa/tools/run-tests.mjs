// Builds tests/*.test.ts with Vite and runs them with Node's own test runner, on Node 20 and later.
import { spawnSync } from "node:child_process";
import { readdirSync, rmSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { build } from "vite";

const root = fileURLToPath(new URL("..", import.meta.url));
const out = `${root}node_modules/.cache/tests-${process.pid}`;
const wanted = process.argv.slice(2);
const names = readdirSync(`${root}tests`)
  .filter((name) => name.endsWith(".test.ts"))
  .filter((name) => wanted.length === 0 || wanted.some((word) => name.includes(word)));
if (names.length === 0) {
  console.error(`tests: expected a file named *.test.ts in pwa/tests, got none for ${wanted}`);
  process.exit(2);
}
try {
  await build({
    root,
    configFile: false,
    logLevel: "warn",
    oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
    build: {
      ssr: true,
      target: "node20",
      outDir: out,
      rollupOptions: { input: names.map((name) => `${root}tests/${name}`) },
    },
  });
  const built = readdirSync(out).filter((name) => name.includes(".test."));
  const reporter = "--test-reporter=spec";
  const files = built.map((name) => `${out}/${name}`);
  const run = spawnSync(process.execPath, ["--test", reporter, ...files], {
    cwd: root,
    stdio: "inherit",
  });
  process.exitCode = run.status ?? 1;
} finally {
  rmSync(out, { recursive: true, force: true });
}

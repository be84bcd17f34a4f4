import { readFileSync } from "node:fs";
import { defineConfig } from "vite";
import { fileURLToPath } from "node:url";
import { crewPart } from "./tools/crew-parts.ts";
import { earlyWords } from "./tools/early-words.ts";
import { nightFiles } from "./tools/build-plugins.ts";
import { verifyPage } from "./tools/verify-page.ts";

// one version for server and client, written in one place
const source = readFileSync(new URL("../server/version.py", import.meta.url), "utf8");
const version = /VERSION: Final = "([^"]+)"/.exec(source)?.[1];
if (version === undefined) throw new Error("server/version.py: expected VERSION in it");

const root = fileURLToPath(new URL(".", import.meta.url)).replace(/\/$/, "");

export default defineConfig({
  // a test that deploys twice names its builds itself
  define: { __ROWCALL_VERSION__: JSON.stringify(process.env["ROWCALL_BUILD"] ?? version) },
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  plugins: [earlyWords(root), verifyPage(root), nightFiles()],
  worker: { format: "es" },
  build: {
    target: ["chrome100", "firefox102", "safari16"],
    // a content security policy without data: addresses needs every asset as a file
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rollupOptions: {
      input: { main: "index.html", office: "office.html", sw: "src/sw/sw.ts" },
      output: {
        codeSplitting: {
          includeDependenciesRecursively: false,
          groups: [{ name: (id, graph) => crewPart(id, graph, root) }],
        },
        // the worker's address must never change, or phones would keep the old one for ever
        entryFileNames: (chunk) => (chunk.name === "sw" ? "sw.js" : "assets/[name]-[hash].js"),
      },
    },
  },
  server: { proxy: { "/api": "http://127.0.0.1:8000" } },
});

import { readFileSync } from "node:fs";
import { defineConfig } from "vite";
import { nightFiles } from "./tools/build-plugins.ts";

const { version } = JSON.parse(readFileSync(new URL("package.json", import.meta.url), "utf8"));

export default defineConfig({
  // a test that deploys twice names its builds itself
  define: { __ROWCALL_VERSION__: JSON.stringify(process.env["ROWCALL_BUILD"] ?? version) },
  oxc: { jsx: { runtime: "automatic", importSource: "preact" } },
  plugins: [nightFiles()],
  worker: { format: "es" },
  build: {
    target: ["chrome100", "firefox102", "safari16"],
    // a content security policy without data: addresses needs every asset as a file
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rollupOptions: {
      input: { main: "index.html", office: "office.html", sw: "src/sw/sw.ts" },
      output: {
        // the worker's address must never change, or phones would keep the old one for ever
        entryFileNames: (chunk) => (chunk.name === "sw" ? "sw.js" : "assets/[name]-[hash].js"),
      },
    },
  },
  server: { proxy: { "/api": "http://127.0.0.1:8000" } },
});

// Phones for `python3 tests sim`: the client's own store, exchange and clock, as many pages as are
// asked for, in time that the simulation says. JSON lines in, one JSON line out for each.
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import { build } from "vite";

const root = fileURLToPath(new URL("..", import.meta.url));
/** A fault to plant: {file, old, new}; an empty object plants none. */
const fault = JSON.parse(process.argv[2] ?? "{}");

const planted = {
  name: "planted-fault",
  transform(code, id) {
    if (!fault.file || !id.endsWith(fault.file)) return null;
    if (!code.includes(fault.old)) throw new Error(`fault: ${fault.file} has no ${fault.old}`);
    return code.replace(fault.old, fault.new);
  },
};
const made = await build({
  root,
  configFile: false,
  logLevel: "error",
  plugins: [{ ...planted, enforce: "pre" }],
  resolve: { alias: { idb: `${root}tests/sim/memory-idb.ts` } },
  build: {
    write: false,
    minify: false,
    target: "node20",
    lib: { entry: `${root}tests/sim/phone.ts`, formats: ["iife"], name: "page", fileName: "page" },
  },
});
const { code } = (Array.isArray(made) ? made[0] : made).output[0];
const names = ["Date", "performance", "crypto", "fetch", "setTimeout", "clearTimeout", "files"];
const opened = new Function(...names, `${code}\nreturn page;`);

const now = { wall: 0, steady: 0 };
const storage = new Map();
const pages = new Map();
const asked = new Map();
let out = [];
let running = 0;
let number = 0;

class Clock extends Date {
  static now() {
    return now.wall;
  }
}
let seed = 1;
const chance = {
  subtle: crypto.subtle,
  getRandomValues(bytes) {
    for (let at = 0; at < bytes.length; at += 1) {
      seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0; // Numerical Recipes' generator
      bytes[at] = seed >>> 24;
    }
    return bytes;
  },
};

function page({ phone, tab }) {
  const name = `${phone}/${tab}`;
  const found = pages.get(name);
  if (found) return found;
  const files = storage.get(phone) ?? new Map();
  storage.set(phone, files);
  const fetched = (path, init) =>
    new Promise((resolve, reject) => {
      number += 1;
      asked.set(number, { resolve, reject });
      out.push({ fetch: number, path, body: JSON.parse(init.body) });
    });
  const performance = { now: () => now.steady };
  const opening = opened(
    Clock,
    performance,
    chance,
    fetched,
    () => 0,
    () => undefined,
    files,
  );
  pages.set(name, opening);
  return opening;
}

async function work(run) {
  running += 1;
  try {
    const value = await run();
    if (value !== undefined) out.push({ value });
  } catch (error) {
    out.push({ error: `${error?.name}: ${error?.message}` });
  } finally {
    running -= 1;
  }
}

/** Whatever runs either ends or waits for the network: then it is the simulation's turn again. */
async function settled() {
  while (running > asked.size) await new Promise((next) => setImmediate(next));
}

const commands = {
  clear({ seed: first }) {
    for (const { reject } of asked.values()) reject(new Error("night over"));
    asked.clear();
    pages.clear();
    storage.clear();
    seed = first;
  },
  /** The page is killed: what it was doing never ends, what it had not committed is lost. */
  kill({ phone, tab, fetch }) {
    pages.delete(`${phone}/${tab}`);
    if (asked.delete(fetch)) running -= 1;
  },
  answer({ fetch, text, status = 200 }) {
    const waits = asked.get(fetch);
    asked.delete(fetch);
    waits?.resolve(new Response(text, { status }));
  },
  fail({ fetch }) {
    const waits = asked.get(fetch);
    asked.delete(fetch);
    waits?.reject(new TypeError("no network"));
  },
  call(command) {
    void work(() => page(command)[command.name](command.with ?? {}));
  },
};

for await (const line of createInterface({ input: process.stdin })) {
  const command = JSON.parse(line);
  if (command.now) Object.assign(now, command.now);
  out = [];
  commands[command.do](command);
  await settled();
  process.stdout.write(`${JSON.stringify(out)}\n`);
}

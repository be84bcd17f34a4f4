/** The client keeps its order: arrows between folders, no circles, functions of at most 60 lines. */
import assert from "node:assert/strict";
import { readFileSync, readdirSync } from "node:fs";
import { dirname, join } from "node:path";
import { test } from "node:test";
import { parseAst } from "vite";

const MOST_LINES = 60;

/** Folder → the folders that it may import; `office` and `screens` are read folder by folder below. */
const RINGS: Readonly<Record<string, readonly string[]>> = {
  core: [],
  i18n: [],
  ui: ["core"],
  store: ["core"],
  scan: ["core"],
  sync: ["core", "store"],
  handover: ["core"],
  model: ["core", "store", "sync", "scan", "handover", "ui"],
  screens: ["core", "ui", "i18n", "app-model.ts", "app-model-chief.ts", "app-model-scan.ts"],
  office: ["core", "ui", "i18n", "scan", "sync"],
  verify: ["core"],
};

/** Functions that are longer today, with their lines: none may grow, and new ones are refused. */
const LONG: Readonly<Record<string, number>> = {
  "src/office/cases/import.tsx Import": 67,
  "src/office/cases/list.tsx Listed": 77,
  "src/office/shop/settings.tsx ShopRoom": 106,
  "src/office/show/form.tsx ShowForm": 73,
  "src/office/show/kits.tsx KitPart": 76,
  "src/office/vehicles/form.tsx Form": 82,
  "src/screens/case/add.tsx Add": 80,
  "src/screens/chief/excuse.tsx Excuse": 77,
  "src/screens/join/join.tsx Join": 86,
};

interface Node {
  readonly type: string;
  readonly start: number;
  readonly end: number;
  readonly [field: string]: unknown;
}

interface Source {
  readonly path: string;
  readonly text: string;
  readonly body: readonly unknown[];
}

function sources(folder: string): Source[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return sources(path);
    if (!/\.tsx?$/.test(path) || path.endsWith(".d.ts")) return [];
    const text = readFileSync(path, "utf8");
    const { body } = parseAst(text, { lang: path.endsWith("x") ? "tsx" : "ts" });
    return [{ path, text, body }];
  });
}

// the runner starts every test in pwa/
const SOURCES = sources("src");
const KNOWN = new Set(SOURCES.map((source) => source.path));

function* nodes(value: unknown): Generator<Node> {
  if (Array.isArray(value)) for (const each of value) yield* nodes(each);
  else if (value !== null && typeof value === "object") {
    if ("type" in value) yield value as Node;
    for (const each of Object.values(value)) if (typeof each === "object") yield* nodes(each);
  }
}

function target(from: string, spec: unknown): string | undefined {
  if (typeof spec !== "string" || !spec.startsWith(".")) return undefined;
  const base = join(dirname(from), spec);
  return ["", ".ts", ".tsx", "/index.ts", "/index.tsx"]
    .map((ending) => base + ending)
    .find((path) => KNOWN.has(path));
}

/** The files that a file imports when it is loaded; types and late imports only where asked for. */
function imports(source: Source, { types }: { types: boolean }): string[] {
  return [...nodes(source.body)].flatMap((node) => {
    const declared = /^(Import|ExportNamed|ExportAll)Declaration$/.test(node.type);
    if (!declared && !(types && node.type === "ImportExpression")) return [];
    if (!types && (node["importKind"] === "type" || node["exportKind"] === "type")) return [];
    const found = target(source.path, (node["source"] as { value?: unknown } | null)?.value);
    return found ? [found] : [];
  });
}

const top = (path: string): string => path.split("/")[1] ?? "";

test("arrows between folders point one way", () => {
  const wrong = new Set<string>();
  for (const source of SOURCES) {
    const own = top(source.path);
    const allowed = RINGS[own];
    if (!allowed) continue;
    for (const path of imports(source, { types: true }))
      if (top(path) !== own && !allowed.includes(top(path))) wrong.add(`${source.path} > ${path}`);
  }
  assert.deepEqual([...wrong], []);
});

test("no imports run in a circle", () => {
  const graph = new Map(
    SOURCES.map((source) => [source.path, imports(source, { types: false })] as const),
  );
  const done = new Set<string>();
  const circle = (path: string, trail: readonly string[]): string[] => {
    if (trail.includes(path)) return [...trail.slice(trail.indexOf(path)), path];
    if (done.has(path)) return [];
    for (const next of graph.get(path) ?? []) {
      const found = circle(next, [...trail, path]);
      if (found.length > 0) return found;
    }
    done.add(path);
    return [];
  };
  for (const path of graph.keys()) assert.deepEqual(circle(path, []), []);
});

test("no function is longer than a screen", () => {
  const kinds = /^(FunctionDeclaration|FunctionExpression|ArrowFunctionExpression)$/;
  const long: Record<string, number> = {};
  for (const { path, text, body } of SOURCES)
    for (const node of nodes(body)) {
      const lines = text.slice(node.start, node.end).split("\n").length;
      const name = (node["id"] as { name?: string } | null | undefined)?.name ?? "";
      if (kinds.test(node.type) && lines > MOST_LINES) long[`${path} ${name}`] = lines;
    }
  for (const [name, lines] of Object.entries(long))
    assert.ok(lines <= (LONG[name] ?? MOST_LINES), `${name}: ${lines} lines`);
  assert.deepEqual(
    Object.keys(LONG).filter((name) => !(name in long)),
    [],
    "exceptions that are no longer needed",
  );
});

test("what a module exports is used by another", () => {
  // only what is exported by name; words are compared, so a name used in a text counts as well
  const generated = /\/(declared|case-columns)\.ts$/;
  const tests = sources("tests").map(({ text }) => text);
  const unused: string[] = [];
  for (const { path, text } of SOURCES) {
    if (generated.test(path)) continue;
    const others = [...SOURCES.filter((one) => one.path !== path).map((one) => one.text), ...tests];
    const declared =
      /^export (?:async |abstract )?(?:function\*?|const|class|interface|type|enum) (\w+)/gm;
    for (const [, name = ""] of text.matchAll(declared)) {
      const word = new RegExp(`\\b${name}\\b`);
      if (!others.some((one) => word.test(one))) unused.push(`${path}: ${name}`);
    }
  }
  assert.deepEqual(unused, []);
});

test("no style of the crew's screens runs an animation without end", () => {
  // an endless one of a drawing took 15 % of a fast processor, and more than half of a slow one
  const folder = "src/styles";
  const endless = readdirSync(folder).filter((name) =>
    /animation[^;]*\binfinite\b/.test(readFileSync(join(folder, name), "utf8")),
  );
  assert.deepEqual(endless, []);
});

/** The crew's script in few files: one pressed file is smaller than five, and asked for once. */
import type { Rolldown } from "vite";

const OFFICE = "/src/office/app/main.ts";
/** In the order in which a phone loads them; what an earlier part holds stays out of the later. */
const PARTS: Readonly<Record<string, string>> = {
  crew: "/src/main.ts",
  scanner: "/src/screens/scan/index.ts",
  late: "/src/screens/app/lazy.tsx",
  wall: "/src/screens/wall/wall.tsx",
};

type Graph = Pick<Rolldown.ChunkingContext, "getModuleInfo">;

let known: { graph: Graph; parts: Map<string, string> } | null = null;

/** The file that a module goes into, `-base` where the office needs it too; null: the bundler says. */
export function crewPart(id: string, graph: Graph, root: string): string | null {
  if (known?.graph !== graph) known = { graph, parts: sorted(graph, root) };
  return known.parts.get(id) ?? null;
}

function sorted(graph: Graph, root: string): Map<string, string> {
  const parts = new Map<string, string>();
  const office = reached(graph, root + OFFICE, true);
  if (office.size < 2) throw new Error(`crew-parts: expected the office's modules at ${OFFICE}`);
  for (const [name, path] of Object.entries(PARTS)) {
    const found = reached(graph, root + path, false);
    if (found.size < 2) throw new Error(`crew-parts: expected modules at ${path}`);
    for (const id of found)
      if (id.endsWith("/src/main.ts") || parts.has(id)) continue;
      else parts.set(id, office.has(id) ? `${name}-base` : name);
  }
  return parts;
}

/** Every module that one loads, at once or late. */
function reached(graph: Graph, start: string, late: boolean): Set<string> {
  const found = new Set<string>();
  const waiting = [start];
  for (let id = waiting.pop(); id !== undefined; id = waiting.pop()) {
    const module = graph.getModuleInfo(id);
    if (!module || found.has(id)) continue;
    found.add(id);
    waiting.push(...module.importedIds, ...(late ? module.dynamicallyImportedIds : []));
  }
  return found;
}

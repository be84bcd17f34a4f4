/** The page that verifies a record: one file, no server, no network. */
import { brokenSeal, fingerprint, findings, readRecord, type NightRecord } from "./check";
import { found, lang, say } from "./words";

const MOST_LINES = 50;
type State = "unchanged" | "changed" | "unknown";

function element<T extends HTMLElement>(id: string): T {
  const node = document.getElementById(id);
  if (!node) throw new Error(`verify: expected #${id} in the page`);
  return node as T;
}

function show(state: State, lines: string[]): void {
  const place = element("result");
  place.dataset["state"] = state;
  const title = document.createElement("h2");
  title.textContent = say(state);
  const parts = lines.slice(0, MOST_LINES).map((text) => {
    const line = document.createElement("p");
    line.textContent = text;
    return line;
  });
  place.replaceChildren(title, ...parts);
}

async function verify(record: NightRecord, typed: string): Promise<void> {
  const changes = findings(record);
  if (changes.length > 0)
    return show(
      "changed",
      changes.map(({ number, event, what }) =>
        say("at", { n: number, id: event || "–", what: found(what) }),
      ),
    );
  let wrong: string;
  try {
    wrong = await brokenSeal(record, typed);
  } catch {
    return show("unknown", [say("old")]);
  }
  if (wrong) return show("changed", [found(wrong)]);
  const key = await fingerprint(String(record.seal?.key));
  const sealed = say("sealed", { n: record.events.length, key });
  show("unchanged", [sealed, say(typed.trim() ? "same" : "compare")]);
}

async function look(): Promise<void> {
  const file = element<HTMLInputElement>("file").files?.[0];
  if (!file) return;
  try {
    await verify(readRecord(await file.text()), element<HTMLInputElement>("key").value);
  } catch (error) {
    show("unknown", [say("none", { why: error instanceof Error ? error.message : String(error) })]);
  }
}

document.documentElement.lang = lang;
document.title = say("title");
element("title").textContent = say("title");
element("about").textContent = say("about");
element("file-label").textContent = say("file");
element("key-label").textContent = say("key");
for (const id of ["file", "key"]) element(id).addEventListener("change", () => void look());

/** Two people changed the same fields: both values, who and when; the person chooses. */
import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import type { Conflict } from "./api";
import { type Clash, clash } from "./changes";
import { fieldWords } from "./error-messages";
import { length, mass, moment } from "./units";

type Side = "mine" | "theirs" | "both";

export function ConflictPage() {
  const now = clash.value;
  return now === null ? null : <Choice key={now.conflicts.length} now={now} />;
}

function Choice({ now }: { now: Clash }) {
  const [sides, setSides] = useState<Readonly<Record<string, Side>>>({});
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
  const open = now.conflicts.filter((each) => sides[each.field] === undefined);
  const keep = () => {
    const mine = now.conflicts.filter((each) => sides[each.field] === "mine");
    const both = now.conflicts.filter((each) => sides[each.field] === "both");
    now.choose(
      new Set(mine.map((each) => each.field)),
      new Map(both.map((each) => [each.field, together(each)])),
    );
  };
  return (
    <section class="card stack" id="conflict" aria-labelledby="conflict-title">
      <h1 id="conflict-title" tabIndex={-1} ref={heading}>
        Two people changed the same
      </h1>
      <p>
        Nothing of yours is kept yet. Choose a value for each field; everything else that either of
        you changed is kept.
      </p>
      {now.conflicts.map((each) => (
        <fieldset key={each.field} class="stack">
          <legend>{fieldWords(each.field)}</legend>
          <p class="soft">It was: {shown(each.field, each.before)}</p>
          <Option each={each} side="mine" sides={sides} onPick={setSides}>
            Yours: {shown(each.field, each.yours, each.before)}
          </Option>
          <Option each={each} side="theirs" sides={sides} onPick={setSides}>
            {each.by || "A command on the server"}
            {each.at > 0 && `, ${moment(each.at)}`}: {shown(each.field, each.theirs, each.before)}
          </Option>
          {together(each) !== undefined && (
            <Option each={each} side="both" sides={sides} onPick={setSides}>
              Both together: {shown(each.field, together(each), each.before)}
            </Option>
          )}
        </fieldset>
      ))}
      <div class="acts-line">
        <Button id="keep-chosen" tone="main" onPress={() => open.length === 0 && keep()}>
          {open.length > 0 ? `${open.length} still to choose` : "Keep what I chose"}
        </Button>
        <Button id="leave-conflict" onPress={now.leave}>
          Back to my page
        </Button>
      </div>
    </section>
  );
}

interface OptionProps {
  each: Conflict;
  side: Side;
  sides: Readonly<Record<string, Side>>;
  onPick: (sides: Readonly<Record<string, Side>>) => void;
  children: ComponentChildren;
}

function Option({ each, side, sides, onPick, children }: OptionProps) {
  return (
    <label class="tick">
      <input
        type="radio"
        name={`conflict-${each.field}`}
        value={side}
        checked={sides[each.field] === side}
        onChange={() => onPick({ ...sides, [each.field]: side })}
      />
      <span>{children}</span>
    </label>
  );
}

type Entry = Readonly<Record<string, unknown>> | string;
const keyOf = (entry: Entry): string =>
  typeof entry === "string" ? entry : String(entry["code"] ?? entry["id"] ?? JSON.stringify(entry));

/** Lists of things with names: what either added is in, what either took out is out. */
export function together({ before, yours, theirs }: Conflict): Entry[] | undefined {
  if (![before, yours, theirs].every(Array.isArray)) return undefined;
  const [was, mine, other] = [before, yours, theirs].map(
    (list) => new Map((list as Entry[]).map((entry) => [keyOf(entry), entry])),
  ) as [Map<string, Entry>, Map<string, Entry>, Map<string, Entry>];
  const text = (entry: Entry | undefined) => JSON.stringify(entry);
  const result: Entry[] = [];
  for (const [key, entry] of other) {
    if (was.has(key) && !mine.has(key)) continue;
    // Of an entry that both changed, yours: it was typed last.
    const changed = mine.has(key) && text(mine.get(key)) !== text(was.get(key));
    result.push(changed ? (mine.get(key) ?? entry) : entry);
  }
  for (const [key, entry] of mine) if (!was.has(key) && !other.has(key)) result.push(entry);
  return result;
}

/** A value as people read it; of a list how long it is, and what differs from `before`. */
export function shown(field: string, value: unknown, before?: unknown): string {
  if (value === null || value === "") return "nothing";
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (typeof value === "number") {
    if (field.endsWith("_um")) return length(value);
    return field.endsWith("_g") ? mass(value) : String(value);
  }
  if (!Array.isArray(value)) return typeof value === "string" ? value : JSON.stringify(value);
  const list = value as Entry[];
  const count = `${list.length} ${list.length === 1 ? "entry" : "entries"}`;
  if (!Array.isArray(before)) return count;
  const was = new Map((before as Entry[]).map((entry) => [keyOf(entry), JSON.stringify(entry)]));
  const now = new Map(list.map((entry) => [keyOf(entry), JSON.stringify(entry)]));
  const parts = [
    named(
      "without",
      [...was.keys()].filter((key) => !now.has(key)),
    ),
    named(
      "with",
      [...now.keys()].filter((key) => !was.has(key)),
    ),
    named(
      "changed",
      [...now.keys()].filter((key) => was.has(key) && was.get(key) !== now.get(key)),
    ),
  ].filter(Boolean);
  return [count, ...parts].join(", ");
}

const named = (word: string, keys: readonly string[]): string =>
  keys.length === 0
    ? ""
    : `${word} ${keys.slice(0, 4).join(", ")}${keys.length > 4 ? ` and ${keys.length - 4} more` : ""}`;

/** A list of questions or stops, in the crew's two languages: edited, ordered, added, taken away. */
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { Small } from "../shared/controls";

export interface Stop {
  id: string;
  text: Record<string, string>;
}
export interface Check extends Stop {
  move: "shop_load" | "load_in" | "load_out" | "put_away";
  scope: "vehicle" | "show";
  gate: string;
  photo: boolean;
  moment?: "before" | "during" | "end";
  note?: boolean;
}

interface ListEditProps<T extends Stop> {
  id: string;
  word: string;
  lines: readonly T[];
  fresh: (id: string, text: Record<string, string>) => T;
  onChange: (lines: T[]) => void;
  /** What else a line says, under its words. */
  more?: (line: T, word: string, onLine: (line: T) => void) => ComponentChildren;
}

/** An id that stays, out of the first words. */
function idOf(list: string, text: string, taken: ReadonlySet<string>): string {
  const plain = text
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "_")
    .slice(0, 20);
  let id = `${list}_${plain}`.slice(0, 36);
  for (let n = 2; taken.has(id); n += 1) id = `${list}_${plain}`.slice(0, 33) + `_${n}`;
  return id;
}

export function ListEdit<T extends Stop>(props: ListEditProps<T>) {
  const { id, word, lines, fresh, onChange, more } = props;
  const [added, setAdded] = useState("");
  const change = (place: number, language: string, words: string) =>
    onChange(
      lines.map((each, at) =>
        at === place ? { ...each, text: { ...each.text, [language]: words } } : each,
      ),
    );
  const up = (place: number) => {
    const next = [...lines];
    const [one] = next.splice(place, 1);
    if (one) next.splice(place - 1, 0, one);
    onChange(next);
  };
  const add = () => {
    const words = added.trim();
    if (words === "") return;
    const taken = new Set(lines.map((each) => each.id));
    onChange([...lines, fresh(idOf(id, words, taken), { en: words, es: words })]);
    setAdded("");
  };
  return (
    <details class="card list-fold">
      <summary>
        <b class="tall">{word}</b>{" "}
        <span class="soft">{lines.length === 1 ? "1 line" : `${lines.length} lines`}</span>
      </summary>
      <ol class="stack">
        {lines.map((each, place) => (
          <li key={each.id} class="list-line">
            <Words
              word={`${word} ${place + 1}`}
              text={each.text}
              onText={(language, words) => change(place, language, words)}
            />
            <Small label={`Earlier: ${each.text["en"]}`} onPress={() => place > 0 && up(place)}>
              Earlier
            </Small>
            <Small
              label={`Remove: ${each.text["en"]}`}
              onPress={() => onChange(lines.filter((other) => other.id !== each.id))}
            >
              Remove
            </Small>
            {more?.(each, `${word} ${place + 1}`, (line) =>
              onChange(lines.map((old, at) => (at === place ? line : old))),
            )}
          </li>
        ))}
      </ol>
      <AddLine id={id} text={added} onText={setAdded} onAdd={add} />
    </details>
  );
}

interface WordsProps {
  word: string;
  text: Record<string, string>;
  onText: (language: string, words: string) => void;
}

/** The line in each language of the crew. */
function Words({ word, text, onText }: WordsProps) {
  return (
    <>
      {(["en", "es"] as const).map((language) => (
        <input
          key={language}
          class="entry-tight"
          lang={language}
          aria-label={`${word}, ${language === "en" ? "English" : "Spanish"}`}
          value={text[language] ?? ""}
          maxLength={300}
          onInput={(event) => onText(language, event.currentTarget.value)}
        />
      ))}
    </>
  );
}

interface AddProps {
  id: string;
  text: string;
  onText: (text: string) => void;
  onAdd: () => void;
}

function AddLine({ id, text, onText, onAdd }: AddProps) {
  return (
    <div class="sieve">
      <div class="field field-tight grow">
        <label for={`add-${id}`}>Add a line</label>
        <input
          id={`add-${id}`}
          value={text}
          maxLength={300}
          onInput={(event) => onText(event.currentTarget.value)}
        />
      </div>
      <Small id={`add-${id}-now`} onPress={onAdd}>
        Add
      </Small>
    </div>
  );
}

/** What only the office asks of a case: weighed when, back by when, what lies in it. */
import { useState } from "preact/hooks";
import type { PartProps } from "./form";
import type { Content } from "../shared/api-types";

const AGE_DAYS = 730; // two years, common practice, no source

/** Whether a mass is too old to be trusted where straps and axles hang on it. */
export function isOld(weighed: string): boolean {
  return weighed !== "" && Date.now() - Date.parse(weighed) > AGE_DAYS * 86_400_000;
}

const typed = (many: readonly Content[]): string =>
  many.map((each) => `${each.count} x ${each.what}`).join("\n");

/** One thing a line: `20 x cable`, or just its name. */
function read(text: string): Content[] {
  return text
    .split("\n")
    .map((line) => /^(?:(\d{1,6})\s*x\s+)?(.+)$/i.exec(line.trim()))
    .flatMap((found) =>
      found?.[2]
        ? [{ what: found[2].replaceAll(";", ","), count: Math.max(1, Number(found[1] ?? 1)) }]
        : [],
    );
}

const linesOf = (text: string): string[] => [
  ...new Set(
    text
      .split("\n")
      .map((line) => line.trim())
      .filter(Boolean),
  ),
];

export function NotesPart({ one, set }: PartProps) {
  const notes = one.notes;
  const [inside, setInside] = useState(typed(notes.contents));
  const change = (part: Partial<typeof notes>) => set({ notes: { ...notes, ...part } });
  const days = [
    ["weighed_on", "Weighed on"],
    ["return_on", "Hired in: back by"],
  ] as const;
  return (
    <fieldset class="card form">
      <legend>What the office knows</legend>
      {days.map(([key, word]) => (
        <div class="field field-tight" key={key}>
          <label for={`case-${key}`}>{word}</label>
          <input
            id={`case-${key}`}
            type="date"
            value={notes[key]}
            onInput={(event) => change({ [key]: event.currentTarget.value })}
          />
          {key === "weighed_on" && isOld(notes.weighed_on) && (
            <p class="bad">More than two years ago: weigh it again.</p>
          )}
        </div>
      ))}
      <div class="field field-tight">
        <label for="case-contents">What lies in it, one thing a line</label>
        <textarea
          id="case-contents"
          rows={4}
          value={inside}
          placeholder="20 x cable"
          onInput={(event) => {
            setInside(event.currentTarget.value);
            change({ contents: read(event.currentTarget.value) });
          }}
        />
      </div>
      <Tags tags={notes.tags} onChange={(tags) => change({ tags })} />
      <div class="field field-tight">
        <label for="case-note">Note</label>
        <textarea
          id="case-note"
          rows={4}
          maxLength={400}
          value={notes.note}
          onInput={(event) => change({ note: event.currentTarget.value.replaceAll("\n", " ") })}
        />
      </div>
    </fieldset>
  );
}

function Tags(props: { tags: readonly string[]; onChange: (tags: string[]) => void }) {
  const [text, setText] = useState(props.tags.join("\n"));
  return (
    <div class="field field-tight">
      <label for="case-tags">Further tags, one a line: other stickers on this case</label>
      <textarea
        id="case-tags"
        rows={3}
        value={text}
        placeholder="Older number, serial number, any bar code"
        onInput={(event) => {
          setText(event.currentTarget.value);
          props.onChange(linesOf(event.currentTarget.value));
        }}
      />
    </div>
  );
}

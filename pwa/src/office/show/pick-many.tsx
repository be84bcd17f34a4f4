/** Many cases picked at once: all that are shown, or a paste of numbers from a list or a scanner. */
import { useState } from "preact/hooks";
import { Small } from "../shared/controls";
import { byCode } from "../shared/state";

interface PickManyProps {
  codes: readonly string[];
  onPick: (codes: readonly string[]) => void;
  onNone: () => void;
}

/** The numbers in a pasted text: one a line, or between commas, semicolons and tabs. */
function read(text: string): { known: string[]; unknown: string[] } {
  const known: string[] = [];
  const unknown: string[] = [];
  for (const part of text.split(/[\n,;\t]+/)) {
    const code = part.trim().toUpperCase().split(/\s+/).join(" ");
    if (code !== "") (byCode.value.has(code) ? known : unknown).push(code);
  }
  return { known, unknown };
}

export function PickMany({ codes, onPick, onNone }: PickManyProps) {
  const [text, setText] = useState("");
  const { known, unknown } = read(text);
  return (
    <>
      <div class="sieve">
        <Small id="pick-all" onPress={() => onPick(codes)}>
          {`Pick all ${codes.length} shown`}
        </Small>
        <Small id="pick-none" onPress={onNone}>
          Pick none
        </Small>
      </div>
      <details>
        <summary>Paste or scan numbers</summary>
        <div class="field field-tight">
          <label for="paste-codes">Numbers of cases, one a line</label>
          <textarea
            id="paste-codes"
            rows={4}
            value={text}
            onInput={(event) => setText(event.currentTarget.value)}
          />
        </div>
        {unknown.length > 0 && (
          <p class="bad">{`Not in the fleet: ${unknown.slice(0, 12).join(", ")}`}</p>
        )}
        <Small
          id="pick-pasted"
          off={known.length === 0}
          onPress={() => {
            onPick(known);
            setText(unknown.join("\n"));
          }}
        >
          {`Pick these ${known.length}`}
        </Small>
      </details>
    </>
  );
}

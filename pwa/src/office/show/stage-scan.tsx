/** Scan to stage: a scanner that types, or the code by hand; the lane is told at once and large. */
import { useRef, useState } from "preact/hooks";
import type { VehicleSheet } from "../../core/bundle";
import { Mark } from "../../ui/mark";
import { byCode } from "../shared/state";
import { stage } from "./staging";

interface Told {
  code: string;
  sheet: VehicleSheet | null;
  row: number;
  words: string;
}

interface StageScanProps {
  show: string;
  revision: number;
  sheets: readonly VehicleSheet[];
  onStaged: (code: string, words: string) => void;
}

export function StageScan({ show, revision, sheets, onStaged }: StageScanProps) {
  const [text, setText] = useState("");
  const [told, setTold] = useState<Told | null>(null);
  const began = useRef(0);
  const take = async () => {
    const code = text.trim().toUpperCase();
    setText("");
    if (code === "") return;
    // a scanner types faster than any hand
    const read = performance.now() - began.current < code.length * 30 ? "wedge" : "typed";
    for (const sheet of sheets)
      for (const row of sheet.rows)
        if (row.places.some((place) => place.code === code)) {
          const place = `lane ${sheet.id}`;
          const done = await stage(show, revision, { code, vehicle: sheet.id, place, read });
          if (!done) return setTold({ code, sheet: null, row: 0, words: "not kept: see above" });
          onStaged(code, `staged: ${place}`);
          return setTold({ code, sheet, row: row.number, words: `lane of ${sheet.name}` });
        }
    const known = byCode.value.has(code);
    setTold({ code, sheet: null, row: 0, words: known ? "not on this show" : "unknown code" });
  };
  return (
    <form
      class="card stack no-print"
      onSubmit={(event) => {
        event.preventDefault();
        void take();
      }}
    >
      <div class="field">
        <label for="stage-code">Scan to stage</label>
        <input
          id="stage-code"
          class="entry-code"
          autocomplete="off"
          value={text}
          onInput={(event) => {
            if (text === "") began.current = performance.now();
            setText(event.currentTarget.value);
          }}
        />
      </div>
      <div role="status" aria-live="assertive">
        {told && (
          <p class={told.sheet ? "staged-now" : "staged-now staged-no"} id="staged">
            {told.sheet && <Mark mark={told.sheet.mark} size={44} />}
            <span class="code">{told.code}</span>
            <b class="tall">
              {told.words}
              {told.sheet && `, row ${told.row}`}
            </b>
          </p>
        )}
      </div>
    </form>
  );
}

/** The plan editor: what is moved by hand is judged at once, undone at will, kept as a revision. */
import { useEffect } from "preact/hooks";
import { Button } from "../../ui/parts";
import { Balance } from "../drawing/load-bars";
import { RowCard } from "../drawing/door-view";
import * as drafts from "./draft";
import { EditDrawing } from "./edit-canvas";
import { EditPanel } from "./edit-panel";
import type { Show } from "../shared/api-types";
import { Small } from "../shared/controls";
import { Verdict } from "./plan";
import { PlanRest } from "./replan";
import { go, To, unsaved } from "../shared/router";
import { done } from "../shared/state";
import { length } from "../shared/units";

export function Editor({ show, revision }: { show: Show; revision: number }) {
  useEffect(() => void drafts.begin(show.id, revision), [show.id, revision]);
  const now = drafts.draft.value;
  useEffect(() => {
    unsaved.value = drafts.changed.value;
  }, [now]);
  if (!now) return <p class="soft">One moment.</p>;
  const keep = async () => {
    const kept = await drafts.keep();
    if (kept === null) return;
    unsaved.value = false;
    go(`shows/${show.id}/plan/${kept}`);
    done.value = `Kept as revision ${kept}.`;
  };
  return (
    <div class="stack editor">
      <div class="line line-wrap">
        <h2 class="grow">Revision {revision} by hand</h2>
        <Small id="undo" off={!drafts.changed.value} onPress={drafts.undo}>
          Undo
        </Small>
        <Small id="redo" off={!drafts.canRedo.value} onPress={drafts.redo}>
          Redo
        </Small>
        <Button id="keep-draft" tone="ask" onPress={() => void keep()}>
          Keep as a revision
        </Button>
        <To to={`shows/${show.id}/plan/${revision}`} class="btn btn-small">
          Leave
        </To>
      </div>
      <Standing />
      <div class="editor-halves">
        <div class="stack">
          {now.sheets.map((sheet) => (
            <section key={sheet.id} class="stack" aria-label={sheet.name}>
              <h3>
                {sheet.name} <span class="soft">{sheet.id}</span>
              </h3>
              <EditDrawing sheet={sheet} />
              <Balance sheet={sheet} />
            </section>
          ))}
        </div>
        <aside class="stack editor-side" aria-label="What is chosen">
          <EditPanel show={show} />
          <ChosenRow />
          <PlanRest show={show} revision={revision} />
          <Keys />
        </aside>
      </div>
    </div>
  );
}

function Keys() {
  return (
    <details class="card">
      <summary>Keys</summary>
      <p>
        On a drawing: arrows choose, <b>Shift</b> with arrows moves, <b>R</b> takes the whole row,{" "}
        <b>P</b> pins it, <b>T</b> turns, <b>Delete</b> takes out, <b>Z</b> undoes, <b>Shift Z</b>{" "}
        does it again.
      </p>
    </details>
  );
}

/** What the last step did to the whole, and what the judge says. */
function Standing() {
  const now = drafts.draft.value;
  const from = drafts.first.value;
  if (!now || !from) return null;
  const total = (draft: drafts.Draft) =>
    draft.sheets.reduce((sum, sheet) => sum + sheet.floor_length_um, 0);
  const more = total(now) - total(from);
  const took = drafts.took.value;
  const straps = (draft: drafts.Draft) =>
    draft.sheets.flatMap((sheet) => sheet.rows).reduce((sum, row) => sum + row.straps, 0);
  return (
    <div
      class="stack"
      id="standing"
      aria-live="polite"
      data-drawn={took.drawn}
      data-judged={took.judged}
      data-pending={now.pending}
    >
      <p>
        <b class="tall big">{length(total(now))}</b> of floor
        {more !== 0 &&
          `, ${length(Math.abs(more))} ${more > 0 ? "more" : "less"} than before`}, {straps(now)}{" "}
        straps. {drafts.changed.value ? `Last: ${now.word}.` : "Nothing moved yet."}
        {now.pending ? (
          <span class="soft"> The judge is looking.</span>
        ) : (
          now.faults.length === 0 && <span class="good"> Every rule is kept.</span>
        )}
      </p>
      <Verdict plan={now} />
    </div>
  );
}

function ChosenRow() {
  const now = drafts.chosen.value;
  if (!now) return null;
  if ("code" in now) {
    const spot = drafts.spotOf(now.code);
    return spot && <RowCard sheet={spot.sheet} row={spot.row} chosen={now.code} />;
  }
  const sheet = drafts.draft.value?.sheets.find((each) => each.id === now.vehicle);
  const row = sheet?.rows.find((each) => each.number === now.row);
  return sheet && row ? <RowCard sheet={sheet} row={row} /> : null;
}

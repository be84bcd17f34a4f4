/** Rows that stay and as few moves as possible behind them; or the show with other vehicles. */
import { useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import { changed, draft, isPinned, keep, pinnedRows, turnPin } from "./draft";
import type { Job, Show } from "../shared/api-types";
import { call } from "../shared/api";
import { Small, Tick } from "../shared/controls";
import { go, To, unsaved } from "../shared/router";
import { choosable, done, tried } from "../shared/state";

/** Moves that are named in one sentence; the rest is counted. */
const SOME = 4;

/** Ask the planner with a difference and wait for the revision that comes of it. */
async function planAsked(
  show: string,
  what: "asked" | "replan",
  body: Record<string, unknown>,
  say: (job: Job) => void,
): Promise<number | null> {
  let job = await tried(() => call<Job>("POST", `/shows/${show}/plans/${what}`, body));
  while (job && (job.state === "waiting" || job.state === "working")) {
    say(job);
    await new Promise((wake) => setTimeout(wake, 350));
    const id = job.job;
    job = await tried(() => call<Job>("GET", `/shows/${show}/jobs/${id}`));
  }
  if (job) say(job);
  return job?.revision ?? null;
}

/** What the crew does differently, in one sentence. */
function movesInWords(moves: readonly string[]): string {
  if (moves.length === 0) return "No case moves.";
  const some = moves.slice(0, SOME).join("; ");
  const more = moves.length > SOME ? `; ${moves.length - SOME} more, see Compare` : "";
  return `${moves.length === 1 ? "1 move" : `${moves.length} moves`}: ${some}${more}.`;
}

export function PlanRest({ show, revision }: { show: Show; revision: number }) {
  const [words, setWords] = useState("");
  const sheets = draft.value?.sheets ?? [];
  const start = async () => {
    // numbers of the draft as it will be kept; the pins go with the rows
    const loaded = pinnedRows.value;
    const base = changed.value ? await keep() : revision;
    if (base === null) return;
    unsaved.value = false;
    let said = "";
    let moves: readonly string[] = [];
    const made = await planAsked(show.id, "replan", { revision: base, loaded }, (job) => {
      said = job.trouble ?? "";
      moves = job.best?.moves ?? [];
      setWords(said || (job.state === "done" ? "Done." : "Planning the rest."));
    });
    if (!made) return;
    go(`shows/${show.id}/plan/${made}`);
    const kept = said ? `${said}.` : "the pinned rows stay.";
    done.value = `Revision ${made}: ${kept} ${movesInWords(moves)}`;
  };
  return (
    <section class="card stack" aria-label="Rows that stay">
      <h3>Rows that stay</h3>
      {sheets.map((sheet) => (
        <div key={sheet.id} role="group" aria-label={`Pinned rows of ${sheet.name}`}>
          <p class="soft">{sheet.name}</p>
          <div class="pins">
            {sheet.rows.map((row) => (
              <Small
                key={row.number}
                id={`pin-${sheet.id}-${row.number}`}
                label={`Row ${row.number} of ${sheet.name} stays`}
                pressed={isPinned(row)}
                onPress={() => turnPin(row)}
              >
                {row.number}
              </Small>
            ))}
          </div>
        </div>
      ))}
      <Button id="plan-rest" onPress={() => void start()}>
        Plan the rest
      </Button>
      <p role="status">{words}</p>
      <p class="soft">
        Pinned rows stay exactly as they are. What is new or has no place finds one with as few
        moves as possible; every move is named.
      </p>
    </section>
  );
}

/** What if it were another vehicle: planned beside the show, which stays as it is. */
export function WhatIf({ show }: { show: Show }) {
  const [booked, setBooked] = useState<readonly string[]>(show.vehicles);
  const [words, setWords] = useState("");
  const start = async () => {
    if (booked.length === 0) {
      setWords("Tick at least one vehicle.");
      return;
    }
    const made = await planAsked(show.id, "asked", { seconds: 10, vehicles: booked }, (job) =>
      setWords(job.trouble ?? (job.state === "done" ? "Done." : "Planning with these.")),
    );
    if (made) go(`shows/${show.id}/compare/${show.issued || 1}/${made}`);
  };
  return (
    <section class="card stack no-print" aria-label="Other vehicles">
      <h3>What if it were other vehicles?</h3>
      <p class="soft">
        One that is not here yet is entered in a minute:{" "}
        <To to="vehicles/new" class="link">
          new vehicle
        </To>
        .
      </p>
      <div class="ticks">
        {choosable(show.vehicles).map((each) => (
          <Tick
            key={each.id}
            id={`if-${each.id}`}
            checked={booked.includes(each.id)}
            onChange={(on) =>
              setBooked(on ? [...booked, each.id] : booked.filter((id) => id !== each.id))
            }
          >
            {each.name || each.id}
          </Tick>
        ))}
      </div>
      <Button id="what-if" onPress={() => void start()}>
        Plan with these and compare
      </Button>
      <p role="status">{words}</p>
      <p class="soft">The show stays as it is until such a plan is issued.</p>
    </section>
  );
}

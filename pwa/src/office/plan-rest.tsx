/** Rows that stay, and the planner for the rest; or the whole show with other vehicles. */
import { useState } from "preact/hooks";
import { Button } from "../ui/parts";
import { changed, draft, keep } from "./draft";
import type { Job, Show } from "./model";
import { call } from "./net";
import { Pick, Tick } from "./parts";
import { go, unsaved } from "./route";
import { tried, vehicles } from "./state";

/** Ask the planner with a difference and wait for the revision that comes of it. */
export async function planAsked(
  show: string,
  body: Record<string, unknown>,
  say: (job: Job) => void,
): Promise<number | null> {
  let job = await tried(() => call<Job>("POST", `/shows/${show}/plans/asked`, body));
  while (job && (job.state === "waiting" || job.state === "working")) {
    say(job);
    await new Promise((wake) => setTimeout(wake, 350));
    const id = job.job;
    job = await tried(() => call<Job>("GET", `/shows/${show}/jobs/${id}`));
  }
  if (job) say(job);
  return job?.revision ?? null;
}

export function PlanRest({ show, revision }: { show: Show; revision: number }) {
  const [pinned, setPinned] = useState<Record<string, number>>({});
  const [words, setWords] = useState("");
  const sheets = draft.value?.sheets ?? [];
  const start = async () => {
    const base = changed.value ? await keep() : revision;
    if (base === null) return;
    unsaved.value = false;
    const made = await planAsked(show.id, { seconds: 10, revision: base, pinned }, (job) =>
      setWords(job.trouble ?? (job.state === "done" ? "Done." : "Planning the rest.")),
    );
    if (made) go(`shows/${show.id}/plan/${made}`);
  };
  return (
    <section class="card stack" aria-label="Rows that stay">
      <h3>Rows that stay</h3>
      {sheets.map((sheet) => (
        <Pick
          key={sheet.id}
          id={`pin-${sheet.id}`}
          label={sheet.name}
          value={String(pinned[sheet.id] ?? 0)}
          options={[
            ["0", "none"],
            ...sheet.rows.map(
              (row) =>
                [
                  String(row.number),
                  row.number === 1 ? "row 1" : `rows 1 to ${row.number}`,
                ] as const,
            ),
          ]}
          onChange={(value) => setPinned({ ...pinned, [sheet.id]: Number(value) })}
        />
      ))}
      <Button id="plan-rest" onPress={() => void start()}>
        Plan the rest
      </Button>
      <p role="status">{words}</p>
    </section>
  );
}

/** What if it were another vehicle: planned beside the show, which stays as it is. */
export function WhatIf({ show }: { show: Show }) {
  const [booked, setBooked] = useState<readonly string[]>(show.vehicles);
  const [words, setWords] = useState("");
  const start = async () => {
    const made = await planAsked(show.id, { seconds: 10, vehicles: booked }, (job) =>
      setWords(job.trouble ?? (job.state === "done" ? "Done." : "Planning with these.")),
    );
    if (made) go(`shows/${show.id}/compare/${show.issued || 1}/${made}`);
  };
  return (
    <section class="card stack no-print" aria-label="Other vehicles">
      <h3>What if it were other vehicles?</h3>
      <div class="ticks">
        {(vehicles.value ?? []).map((each) => (
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

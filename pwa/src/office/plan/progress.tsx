/** Planning while it runs: the best so far, its bound, and a stop that keeps the best. */
import { useEffect, useRef, useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import type { Best, Choice, Job, Quality, Show } from "../shared/api-types";
import { call } from "../shared/api";
import { Pick } from "../shared/controls";
import { To } from "../shared/router";
import { tried } from "../shared/state";
import { length } from "../shared/units";

const ASK_EVERY_MS = 350;
const TIMES = [
  ["5", "5 seconds"],
  ["10", "10 seconds"],
  ["30", "30 seconds"],
  ["120", "2 minutes"],
] as const;

const WAYS = [
  ["shortest", "The shortest plan"],
  ["easier", "The shortest and easier ones"],
  ["robust", "With room for error"],
] as const;
const ASKED: Record<string, Record<string, unknown>> = {
  shortest: {},
  easier: { alternatives: 4 },
  robust: { robust: true },
};

interface PlanningProps {
  show: Show;
  onDone: (revision: number | null) => Promise<void>;
}

export function Planning({ show, onDone }: PlanningProps) {
  const [seconds, setSeconds] = useState("10");
  const [way, setWay] = useState("shortest");
  const [job, setJob] = useState<Job | null>(null);
  const here = useRef(true);
  useEffect(() => () => void (here.current = false), []);
  const base = `/shows/${show.id}`;
  const watch = async (first: Job) => {
    let now: Job | null = first;
    while (now && here.current && (now.state === "waiting" || now.state === "working")) {
      setJob(now);
      await new Promise((wake) => setTimeout(wake, ASK_EVERY_MS));
      now = await tried(() => call<Job>("GET", `${base}/jobs/${first.job}`));
    }
    if (!here.current) return;
    setJob(now);
    await onDone(now?.revision ?? null);
  };
  const start = async () => {
    const asked = await tried(() =>
      call<Job>("POST", `${base}/plans`, { seconds: Number(seconds), ...ASKED[way] }),
    );
    if (asked) await watch(asked);
  };
  const busy = job !== null && (job.state === "waiting" || job.state === "working");
  return (
    <section class="card planning no-print" aria-label="Planning">
      <div class="sieve">
        <Pick
          id="plan-seconds"
          label="Look for"
          value={seconds}
          options={TIMES}
          onChange={setSeconds}
        />
        <Pick id="plan-way" label="Plan" value={way} options={WAYS} onChange={setWay} />
        {busy ? (
          <Button
            id="stop-plan"
            tone="stop"
            onPress={() => void tried(() => call("DELETE", `${base}/jobs/${job.job}`))}
          >
            Stop and keep the best
          </Button>
        ) : (
          <Button id="plan" tone="main" icon="rows" onPress={() => void start()}>
            {show.cases.length > 0 ? `Plan ${show.cases.length} cases` : "Plan"}
          </Button>
        )}
      </div>
      <div role="status" aria-live="polite">
        {job && <Progress show={show.id} job={job} busy={busy} />}
      </div>
    </section>
  );
}

function Progress({ show, job, busy }: { show: string; job: Job; busy: boolean }) {
  const words = {
    waiting: "Waiting for the planner.",
    working: "Looking for a shorter plan.",
    done: "Done.",
    failed: "No plan came of it.",
  }[job.state];
  return (
    <div class="stack" id="progress" data-state={job.state}>
      <p>
        {words} {job.trouble}
      </p>
      {job.best && <Bound best={job.best} busy={busy} />}
      {job.best?.choices && <Choices show={show} choices={job.best.choices} />}
      {job.best?.robust && <RoomForError robust={job.best.robust} />}
    </div>
  );
}

/** Floor against ease: each plan with what its floor more saves the crew. */
function Choices({ show, choices }: { show: string; choices: readonly Choice[] }) {
  const first = choices[0];
  return (
    <ul class="stack" id="choices" aria-label="Plans to choose from">
      {choices.map((each) => {
        const more = each.floor_length_um - (first?.floor_length_um ?? 0);
        const saved = (first?.lifts ?? 0) + (first?.turns ?? 0) - each.lifts - each.turns;
        return (
          <li key={each.revision} class="line line-wrap">
            <To to={`shows/${show}/plan/${each.revision}`} class="btn btn-small">
              Revision {each.revision}
            </To>
            <span>
              {length(each.floor_length_um)} of floor, {each.lifts} lifts
              {each.turns > 0 && `, ${each.turns} turned on end or side`}
              {more > 0 && `: ${length(more)} more floor saves ${saved}`}
            </span>
          </li>
        );
      })}
      {choices.length === 1 && <li class="soft">No easier plan was found.</li>}
    </ul>
  );
}

/** Room that a robust plan leaves in each row: half an inch, in micrometres. */
const ROOM_UM = 12_700;

/** What room for error costs, and the rows of the shortest plan that have none. */
function RoomForError({ robust }: { robust: NonNullable<Best["robust"]> }) {
  const tight = robust.tight_rows.join(", ");
  const room = `${length(ROOM_UM)} of room in each row and a tenth more of each weight that no scale gave`;
  return (
    <p id="room-for-error">
      {robust.floor_more_um === null
        ? `Not everything goes with ${room}.`
        : `With ${room} the plan takes ${length(robust.floor_more_um)} more floor.`}{" "}
      {tight && `The shortest plan closes only with exact sides in ${tight}.`}
    </p>
  );
}

/** How good a stored plan is: its bound, how long was looked, what was asked. */
export function QualityPart({ quality }: { quality: Quality }) {
  const seconds = quality.seconds.toLocaleString("en", { maximumFractionDigits: 1 });
  return (
    <section class="card stack" id="quality" aria-label="How good this plan is">
      <Bound best={quality} busy={false} />
      <p class="soft">
        {quality.by_planner
          ? `Looked for ${seconds} seconds, ${askedWords(quality.asked)}.`
          : "Not made by a planning of this office: moved by hand, re-planned at the dock, or brought in."}
      </p>
      {quality.trouble && <p>{quality.trouble}</p>}
      {quality.robust && <RoomForError robust={quality.robust} />}
    </section>
  );
}

/** What a planning was asked beside its show, in words. */
function askedWords(asked: Quality["asked"]): string {
  if (!asked) return "for the shortest plan";
  if (asked.robust) return "for a plan with room for error";
  if (asked.alternatives) return "for the shortest plan and easier ones";
  if (asked.vehicles) return `with other vehicles: ${asked.vehicles.join(", ")}`;
  if (asked.revision === undefined) return "for the shortest plan";
  const kept = Object.entries(asked.pinned ?? {}).map(([vehicle, rows]) =>
    Array.isArray(rows)
      ? `rows ${rows.join(", ")} of ${vehicle}`
      : `the first ${rows} rows of ${vehicle}`,
  );
  return `from revision ${asked.revision} on${kept.length ? `, with ${kept.join(" and ")} as they were` : ""}`;
}

/** Floor length of the best plan against the bound that no plan can undercut. */
function Bound({ best, busy }: { best: Best; busy: boolean }) {
  const gap = best.floor_length_um - best.lower_bound_um;
  const share = best.floor_length_um ? best.lower_bound_um / best.floor_length_um : 1;
  return (
    <>
      <p>
        <b class="tall big">{length(best.floor_length_um)}</b> of floor in {best.vehicles}{" "}
        {best.vehicles === 1 ? "vehicle" : "vehicles"}
        {best.left_out > 0 && `, ${best.left_out} cases left out`}.{" "}
        {best.proven
          ? "Proven: no plan is shorter."
          : best.lower_bound_um > 0
            ? `No plan can be more than ${length(gap)} shorter.`
            : busy
              ? "How much shorter it could be is not known yet."
              : "How much shorter it could be is not known: look longer to find out."}
      </p>
      <svg class="bound" viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true">
        <path d="M0 3H100" stroke="var(--raise)" stroke-width="6" />
        <path d={`M0 3H${share * 100}`} stroke="var(--go)" stroke-width="6" />
        {busy && <path d={`M${share * 100} 3H100`} stroke="var(--ask)" stroke-width="2" />}
      </svg>
    </>
  );
}

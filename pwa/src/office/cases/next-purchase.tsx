/** The case that is thought of: footprints compared by the floor that past shows would have needed. */
import { useEffect, useRef, useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import { SureLength, SureMass } from "../shared/number-field";
import type { Job } from "../shared/api-types";
import { call } from "../shared/api";
import { Tick } from "../shared/controls";
import { choosable, shows, tried } from "../shared/state";
import { day, length } from "../shared/units";

interface Verdict {
  length_um: number;
  width_um: number;
  refused: number;
  free: number;
  trials: number;
  mean_added_um: number;
  each: { show: string; vehicle: string; before_um: number; added_um: number | null }[];
}

interface Far {
  done: number;
  of: number;
  verdicts: Verdict[];
}
type Comparing = Omit<Job, "best"> & { best: Far | null };

const toggle = (list: readonly string[], one: string, on: boolean): string[] =>
  on ? [...list, one] : list.filter((each) => each !== one);

interface Box {
  length_um: number;
  width_um: number;
  height_um: number;
  mass_g: number;
}
const FIRST: Box = { length_um: 762_000, width_um: 571_500, height_um: 609_600, mass_g: 45_360 };

/** The comparing job: asked again and again while it works and this page is open. */
function useComparing() {
  const [words, setWords] = useState("");
  const [far, setFar] = useState<Far | null>(null);
  const [job, setJob] = useState<string | null>(null);
  const here = useRef(true);
  useEffect(() => () => void (here.current = false), []);
  const start = async (
    like: Box & { rides: boolean },
    by: readonly string[],
    into: readonly string[],
  ) => {
    setFar(null);
    if (by.length === 0 || into.length === 0) {
      setWords("Tick at least one show and one vehicle: footprints are compared by them.");
      return;
    }
    setWords("Planning each show without a new case first.");
    const body = { like, shows: by, vehicles: into, seconds: 1 };
    let now = await tried(() => call<Comparing>("POST", "/purchase", body));
    while (now && here.current && (now.state === "waiting" || now.state === "working")) {
      setJob(now.job);
      const { best } = now;
      setFar(best);
      if (best && best.done > 0) setWords(`${best.done} of ${best.of} footprints are planned.`);
      await new Promise((wake) => setTimeout(wake, 500));
      const id: string = now.job;
      now = await tried(() => call("GET", `/shows/${by[0]}/jobs/${id}`));
    }
    if (!here.current) return;
    setJob(null);
    setWords(now?.trouble ?? (now ? "Done." : ""));
    setFar(now?.best ?? null);
  };
  return { words, far, job, start };
}

export function NextCase() {
  const [like, setLike] = useState(FIRST);
  const [rides, setRides] = useState(false);
  const [by, setBy] = useState<readonly string[]>([]);
  const [into, setInto] = useState<readonly string[]>([]);
  const { words, far, job, start } = useComparing();
  const form = useRef<HTMLFormElement>(null);
  const begin = () => {
    if (form.current?.reportValidity()) void start({ ...like, rides }, by, into);
  };
  const stop = () => void tried(() => call("DELETE", `/shows/${by[0]}/jobs/${job}`));
  return (
    <section class="card stack" aria-label="The next case">
      <h2>The next case to buy or build</h2>
      <p class="soft">
        Enter what it has to hold. Halves, thirds and quarters of your vehicles are tried as its
        footprint; each past or planned show is planned again with it.
      </p>
      <form ref={form} class="form" onSubmit={(event) => event.preventDefault()}>
        <BoxFields like={like} onChange={setLike} />
      </form>
      <Tick checked={rides} onChange={setRides}>
        It may ride on lids
      </Tick>
      <Compared by={by} setBy={setBy} into={into} setInto={setInto} />
      <div>
        {job === null ? (
          <Button id="judge-next" tone="ask" onPress={begin}>
            Compare footprints
          </Button>
        ) : (
          <Button id="stop-next" tone="stop" onPress={stop}>
            Stop and keep what is known
          </Button>
        )}
      </div>
      {job !== null && far && (
        <progress id="next-far" max={far.of} value={far.done} aria-label="Footprints planned" />
      )}
      <p role="status">{words}</p>
      {far && (job === null || far.verdicts.length > 0) && <Verdicts found={far.verdicts} />}
    </section>
  );
}

function BoxFields({ like, onChange }: { like: Box; onChange: (like: Box) => void }) {
  const side = (key: keyof Box) => (value: number) => onChange({ ...like, [key]: value });
  const sides = [
    ["length", "Length"],
    ["width", "Width"],
    ["height", "Height"],
  ] as const;
  return (
    <>
      {sides.map(([key, label]) => (
        <SureLength
          key={key}
          id={`like-${key}`}
          label={label}
          value={like[`${key}_um`]}
          onChange={side(`${key}_um`)}
        />
      ))}
      <SureMass
        id="like-mass"
        label="Weight, packed"
        blank={0}
        value={like.mass_g}
        onChange={side("mass_g")}
      />
    </>
  );
}

interface ComparedProps {
  by: readonly string[];
  setBy: (shows: readonly string[]) => void;
  into: readonly string[];
  setInto: (vehicles: readonly string[]) => void;
}

/** The shows and vehicles by which footprints are compared. */
function Compared({ by, setBy, into, setInto }: ComparedProps) {
  return (
    <>
      <fieldset class="ticks">
        <legend class="tall">Compared by these shows</legend>
        {(shows.value ?? []).slice(0, 12).map((each) => (
          <Tick
            key={each.id}
            id={`by-${each.id}`}
            checked={by.includes(each.id)}
            onChange={(on) => setBy(toggle(by, each.id, on))}
          >
            {each.name}, {day(each.date)}
          </Tick>
        ))}
      </fieldset>
      <fieldset class="ticks">
        <legend class="tall">
          In each of these vehicles alone; in all together where one will not do
        </legend>
        {choosable().map((each) => (
          <Tick
            key={each.id}
            id={`into-${each.id}`}
            checked={into.includes(each.id)}
            onChange={(on) => setInto(toggle(into, each.id, on))}
          >
            {each.name || each.id}
          </Tick>
        ))}
      </fieldset>
    </>
  );
}

function Verdicts({ found }: { found: Verdict[] }) {
  if (found.length === 0 || found.every((each) => each.trials === 0))
    return <p class="note">None of these shows goes into these vehicles.</p>;
  return (
    <table class="plain" id="verdicts">
      <caption>
        As far as the planner got in a second a footprint; what it did not prove may be less.
      </caption>
      <thead>
        <tr>
          <th scope="col">Footprint</th>
          <th scope="col">Floor it adds</th>
          <th scope="col">Why</th>
        </tr>
      </thead>
      <tbody>
        {found.slice(0, 8).map((each, index) => (
          <tr key={`${each.length_um} ${each.width_um}`}>
            <td>
              <b class={index === 0 ? "tall good" : "tall"}>
                {length(each.length_um)} × {length(each.width_um)}
              </b>
            </td>
            <td class="tab-num">
              {each.refused === each.trials ? "does not go" : length(each.mean_added_um)}
            </td>
            <td>{why(each)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function why(one: Verdict): string {
  const parts = [];
  if (one.free > 0)
    parts.push(`stands in slack or on lids for nothing in ${one.free} of ${one.trials}`);
  if (one.refused > 0) parts.push(`no longer goes in ${one.refused} of ${one.trials}`);
  const most = one.each
    .filter((each) => (each.added_um ?? 0) > 0)
    .sort((a, b) => (b.added_um ?? 0) - (a.added_um ?? 0))[0];
  if (most)
    parts.push(`costs most in ${most.vehicle}: ${length(most.added_um ?? 0)}, “${most.show}”`);
  return parts.join("; ") || "adds nothing";
}

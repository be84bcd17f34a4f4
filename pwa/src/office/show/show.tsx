/** One show: what goes, how it stands, how the crew gets in. */
import { useEffect, useState } from "preact/hooks";
import { HirePanel } from "../advisor/hire";
import { AwayPart } from "./put-away";
import { Compare } from "../plan/compare";
import { CrewPart } from "./crew";
import { Editor } from "../plan/editor";
import type { Show } from "../shared/api-types";
import { call } from "../shared/api";
import { open, type Opened } from "../shared/changes";
import { Empty, Head, Pick, Small } from "../shared/controls";
import { NightPart } from "../night/night";
import { PlanPart } from "../plan/plan";
import { PullPart } from "./pull-list";
import { RecordPart } from "./papers";
import { go, To } from "../shared/router";
import { dropNames } from "./drop-names";
import { ShowForm } from "./form";
import { done, loadShows, shows, tried } from "../shared/state";
import { day } from "../shared/units";

const PARTS = [
  ["", "Cases and vehicles"],
  ["plan", "Plan"],
  ["crew", "Crew"],
  ["night", "Night"],
  ["pull", "Pull and stage"],
  ["away", "Put-away"],
  ["record", "Papers"],
] as const;

const KNOWN = new Set<string>([...PARTS.map(([to]) => to), "edit", "compare"]);

/** A copy for another day, with what can travel. */
async function copy(show: { id: string; name: string }): Promise<void> {
  const body = { name: `${show.name}, again`, date: "" };
  const made = await tried(() =>
    call<{ id: string; stay: string[] }>("POST", `/shows/${show.id}/copy`, body),
  );
  if (!made) return;
  await loadShows();
  go(`shows/${made.id}`);
  const stay = made.stay.length ? ` These cannot travel: ${made.stay.join(", ")}.` : "";
  done.value = `A copy is made: give it a name and a date.${stay}`;
}

function NewShow() {
  return (
    <>
      <Head title="New show" />
      {(shows.value ?? []).length > 0 && (
        <div class="card form">
          <Pick
            id="begin-from"
            label="Begin from a past show"
            value=""
            options={[
              ["", "Nothing: from scratch"],
              ...(shows.value ?? []).map(
                (each) => [each.id, `${each.name}, ${day(each.date)}`] as const,
              ),
            ]}
            onChange={(id) => {
              const past = shows.value?.find((each) => each.id === id);
              if (past) void copy(past);
            }}
          />
        </div>
      )}
      <ShowForm seen={null} onKept={() => undefined} />
    </>
  );
}

export function ShowRoom({ id, part }: { id: string; part: readonly string[] }) {
  const [seen, setSeen] = useState<Opened<Show> | null>(null);
  const [lost, setLost] = useState(false);
  const fresh = id === "new";
  const load = async () => {
    const got = await tried(() => open<Show>(`/shows/${id}`));
    if (got) dropNames.value = got.document.drops;
    setSeen(got);
    setLost(got === null);
  };
  useEffect(() => {
    if (!fresh) void load();
  }, [id]);
  if (lost) return <Empty>There is no such show.</Empty>;
  if (fresh) return <NewShow />;
  if (seen === null) return <p class="soft">One moment.</p>;
  const show = seen.document;
  const room = part[0] ?? "";
  return (
    <>
      <Head title={show.name} sub={day(show.date)}>
        <Small id="copy-show" onPress={() => void copy(show)}>
          A new show like this
        </Small>
      </Head>
      <nav class="parts" aria-label="Show">
        {PARTS.map(([to, word]) => (
          <To
            key={to}
            to={to ? `shows/${id}/${to}` : `shows/${id}`}
            class="part"
            current={room === to || (to === "plan" && (room === "edit" || room === "compare"))}
          >
            {word}
          </To>
        ))}
      </nav>
      {room === "" && <ShowForm key={seen.version} seen={seen} onKept={load} />}
      {room === "" && <HirePanel show={id} />}
      {room === "plan" && <PlanPart show={show} part={part.slice(1)} onChange={load} />}
      {room === "edit" && <Editor key={part[1]} show={show} revision={Number(part[1])} />}
      {room === "compare" && (
        <Compare
          show={show}
          one={Number(part[1])}
          other={Number(part[2] ?? Math.max(1, Number(part[1]) - 1))}
        />
      )}
      {room === "pull" && <PullPart show={show} />}
      {room === "away" && <AwayPart show={show} onChange={load} />}
      {room === "record" && <RecordPart show={show} />}
      {room === "crew" && <CrewPart show={show} />}
      {room === "night" && <NightPart show={show} />}
      {!KNOWN.has(room) && <Empty>There is no such page of a show.</Empty>}
    </>
  );
}

/** One show: what goes, how it stands, how the crew gets in. */
import { useEffect, useState } from "preact/hooks";
import { CrewPart } from "./crew-part";
import type { Show } from "./model";
import { call } from "./net";
import { Empty, Head } from "./parts";
import { PlanPart } from "./plan-part";
import { To } from "./route";
import { ShowForm } from "./show-form";
import { tried } from "./state";
import { day } from "./units";

const PARTS = [
  ["", "Cases and vehicles"],
  ["plan", "Plan"],
  ["crew", "Crew"],
] as const;

export function ShowRoom({ id, part }: { id: string; part: readonly string[] }) {
  const [show, setShow] = useState<Show | null>(null);
  const [lost, setLost] = useState(false);
  const fresh = id === "new";
  const load = async () => {
    const got = await tried(() => call<Show>("GET", `/shows/${id}`));
    setShow(got);
    setLost(got === null);
  };
  useEffect(() => {
    if (!fresh) void load();
  }, [id]);
  if (lost) return <Empty>There is no such show.</Empty>;
  if (fresh)
    return (
      <>
        <Head title="New show" />
        <ShowForm show={null} onKept={() => undefined} />
      </>
    );
  if (show === null) return <p class="soft">One moment.</p>;
  const open = part[0] ?? "";
  return (
    <>
      <Head title={show.name} sub={day(show.date)} />
      <nav class="parts" aria-label="Show">
        {PARTS.map(([to, word]) => (
          <To
            key={to}
            to={to ? `shows/${id}/${to}` : `shows/${id}`}
            class="part"
            current={open === to}
          >
            {word}
          </To>
        ))}
      </nav>
      {open === "" && <ShowForm show={show} onKept={setShow} />}
      {open === "plan" && <PlanPart show={show} part={part.slice(1)} onChange={load} />}
      {open === "crew" && <CrewPart show={show} />}
    </>
  );
}

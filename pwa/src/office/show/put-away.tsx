/** Put-away: home by home in walking order, what is damaged or short, what goes back to its owner. */
import { useEffect, useState } from "preact/hooks";
import { Icon } from "../../ui/icon";
import { Button } from "../../ui/parts";
import { SmallPhoto } from "../cases/photos";
import type { Show } from "../shared/api-types";
import { call, save } from "../shared/api";
import { Small } from "../shared/controls";
import { done, loadShows, quietly, tried } from "../shared/state";
import { day, moment } from "../shared/units";

interface Away {
  homes: {
    home: string;
    cases: { code: string; name: string; away: boolean; damaged: boolean }[];
  }[];
  damaged: {
    code: string;
    name: string;
    note: string;
    by: string;
    at: number;
    photo: string | null;
  }[];
  short: {
    code: string;
    name: string;
    seen: string;
    seen_by: string;
    seen_at: number | null;
    excuse: string;
    custodian: string;
    collect_by: string;
  }[];
  give_back: { code: string; name: string; owner: string; return_on: string }[];
  contradictions: {
    code: string;
    name: string;
    said: string;
    why: string;
    said_by: string;
    said_at: number;
    seen: string;
    seen_by: string;
    seen_at: number | null;
  }[];
  closed: boolean;
}
const EXCUSES: Record<string, string> = {
  left_on_purpose: "left on purpose",
  never_came: "never came",
  swapped: "swapped",
  other_vehicle: "on another vehicle",
};
const ASK_EVERY_MS = 5_000;

export function AwayPart({ show, onChange }: { show: Show; onChange: () => Promise<void> }) {
  const [away, setAway] = useState<Away | null>(null);
  useEffect(() => {
    const look = () =>
      void quietly(() => call<Away>("GET", `/shows/${show.id}/put-away`)).then(
        (got) => got && setAway(got),
      );
    look();
    const timer = setInterval(look, ASK_EVERY_MS);
    return () => clearInterval(timer);
  }, [show.id]);
  if (!away) return <p class="soft">One moment.</p>;
  const close = async () => {
    const open = away.homes.flatMap((home) => home.cases).filter((each) => !each.away).length;
    const asks = open ? `${open} cases are not in their homes yet. ` : "";
    if (!confirm(`${asks}Close the show? Nobody joins it any more; its record stays.`)) return;
    if (!(await tried(() => call("POST", `/shows/${show.id}/close`)))) return;
    await Promise.all([onChange(), loadShows()]);
    done.value = "The show is closed.";
  };
  return (
    <div class="stack">
      <div class="line line-wrap">
        <p class="grow soft">
          Phones scan each case in at the shop door, in the move Put-away; this page follows.
        </p>
        <Small onPress={() => print()}>Print for the morning</Small>
        <Small onPress={() => void tried(() => save(`/shows/${show.id}/record.pdf`, "record.pdf"))}>
          Record, PDF
        </Small>
        {away.closed ? (
          <span class="tag">
            <Icon name="lock" size={20} /> closed
          </span>
        ) : (
          <Button id="close-show" icon="lock" onPress={() => void close()}>
            Close the show
          </Button>
        )}
      </div>
      <div class="halves">
        <Short away={away} />
        <Damaged away={away} show={show.id} />
        <GiveBack away={away} />
      </div>
      <Homes away={away} />
    </div>
  );
}

function Homes({ away }: { away: Away }) {
  return (
    <div class="rows-drawn">
      {away.homes.map((home) => (
        <section key={home.home} class="card" aria-label={`Home ${home.home}`}>
          <header class="line">
            <span class="row-no">{home.home || "?"}</span>
            <span class="soft">
              {home.cases.filter((each) => each.away).length} of {home.cases.length} away
            </span>
          </header>
          <ul>
            {home.cases.map((each) => (
              <li key={each.code} class="line">
                <Icon name={each.away ? "check" : "wait"} size={20} />
                <span>
                  <span class="code">{each.code}</span> {each.name}
                  <span class="unseen">{each.away ? ", away" : ", not yet"}</span>
                  {each.damaged && <b class="bad"> damaged</b>}
                </span>
              </li>
            ))}
          </ul>
        </section>
      ))}
    </div>
  );
}

function Short({ away }: { away: Away }) {
  return (
    <section class={away.short.length ? "card card-hold stack" : "card stack"} aria-label="Short">
      <h2>Short</h2>
      {away.short.length === 0 && <p class="soft">Nothing is missing.</p>}
      <ul class="stack">
        {away.short.map((each) => (
          <li key={each.code}>
            <span class="line">
              <SmallPhoto code={each.code} />
              <span>
                <span class="code">{each.code}</span> {each.name}
              </span>
            </span>
            <p class="soft">
              {each.excuse
                ? [
                    EXCUSES[each.excuse] ?? each.excuse,
                    each.custodian && `with ${each.custodian}`,
                    each.collect_by && `collect by ${each.collect_by}`,
                  ]
                    .filter(Boolean)
                    .join(", ")
                : each.seen_at
                  ? `last seen: ${each.seen}, ${moment(each.seen_at)}, by ${each.seen_by}`
                  : "never scanned"}
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Damaged({ away, show }: { away: Away; show: string }) {
  return (
    <>
      <Contradictions away={away} />
      <DamagedCases away={away} show={show} />
    </>
  );
}

function DamagedCases({ away, show }: { away: Away; show: string }) {
  return (
    <section class="card stack" aria-label="Damaged">
      <h2>Damaged</h2>
      {away.damaged.length === 0 && <p class="soft">Nothing was reported.</p>}
      <ul class="stack">
        {away.damaged.map((each) => (
          <li key={each.code}>
            <span class="code">{each.code}</span> {each.name}
            <p>{each.note}</p>
            {each.photo && (
              <img
                class="damage-photo"
                src={`/api/shows/${encodeURIComponent(show)}/photos/${encodeURIComponent(each.photo)}`}
                alt={`${each.code} ${each.name}: ${each.note}`}
              />
            )}
            <p class="soft">
              {each.by}, {moment(each.at)}
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** What the chief said of a case against what was recorded of it. */
function Contradictions({ away }: { away: Away }) {
  if (away.contradictions.length === 0) return null;
  return (
    <section class="card stack" aria-label="Contradictions">
      <h2>Contradictions: {away.contradictions.length}</h2>
      <ul class="stack">
        {away.contradictions.map((each) => (
          <li key={`${each.code} ${each.said_at}`}>
            <span class="code">{each.code}</span> {each.name}
            <p>
              {each.said_by}, {moment(each.said_at)}: {EXCUSES[each.said] ?? each.said}
              {each.why && `: ${each.why}`}
            </p>
            <p>
              <b>
                Recorded: {each.seen}
                {each.seen_at && `, ${moment(each.seen_at)}, by ${each.seen_by}`}
              </b>
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}

function GiveBack({ away }: { away: Away }) {
  return (
    <section class="card stack" aria-label="To give back">
      <h2>To give back</h2>
      {away.give_back.length === 0 && <p class="soft">Nothing was hired in.</p>}
      <ul class="stack">
        {away.give_back.map((each) => (
          <li key={each.code}>
            <span class="code">{each.code}</span> {each.name}
            <p>
              to <b>{each.owner}</b>
              {each.return_on && ` by ${day(each.return_on)}`}
            </p>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** The night, live: every vehicle at a glance; and a past one again, on a time line. */
import { useEffect, useMemo, useState } from "preact/hooks";
import { MOVES, type Move } from "../../core/bundle";
import { currentMove, summaryOf, type NightSummary, type Phone } from "../../core/night-summary";
import type { State } from "../../core/state";
import { t } from "../../i18n";
import type { Show } from "../shared/api-types";
import { Empty, Pick, Small } from "../shared/controls";
import { follow, link, night, phones, serverNow, type Night } from "./live";
import { moments, stateAt, stepOn } from "./replay";
import { VehicleCard } from "./vehicle";
import { ago, clockOf, nameOf, rangeOf } from "./words";
import "./night.css";

export function NightPart({ show }: { show: Show }) {
  useEffect(() => follow(show.id), [show.id]);
  const now = night.value;
  if (now === null) return <p class="soft">One moment.</p>;
  if (now === "none")
    return <Empty>No plan of this show was issued yet, so there is no night to look at.</Empty>;
  return <Board now={now} />;
}

function Board({ now }: { now: Night }) {
  const [asked, setAsked] = useState<Move | "">("");
  const [at, setAt] = useState<number | null>(null);
  const tick = useTick();
  const times = useMemo(() => moments(now.events), [now]);
  const state = useMemo(() => (at === null ? now.state : stateAt(now, at)), [now, at]);
  const move = asked || currentMove(state);
  const clock = at ?? tick;
  const heard = at === null ? phones.value : [];
  const sum = summaryOf(now.bundle, state, move, clock, heard);
  return (
    <div class="stack" id="night">
      <div class="sieve">
        <Pick
          id="night-move"
          label="Move"
          value={asked}
          options={[
            ["", `The one that is worked: ${t(`move.${currentMove(state)}`)}`],
            ...MOVES.map((one) => [one, t(`move.${one}`)] as const),
          ]}
          onChange={(one) => setAsked(one as Move | "")}
        />
        <p class="soft" id="night-link">
          {at === null
            ? linkWords(tick)
            : `As it stood at ${clockOf(at)}, by the plan issued last.`}
        </p>
      </div>
      <Totals sum={sum} replay={at !== null} />
      {times.length > 1 && <TimeLine times={times} at={at} onAt={setAt} />}
      <div class="night-grid">
        {sum.vehicles.map((one) => (
          <VehicleCard key={one.id} one={one} bundle={now.bundle} />
        ))}
      </div>
      {at === null && <Phones list={phones.value} now={tick} />}
      <Said state={state} move={move} now={now} />
    </div>
  );
}

/** The server's time, again every second. */
function useTick(): number {
  const [tick, setTick] = useState(serverNow());
  useEffect(() => {
    const timer = setInterval(() => setTick(serverNow()), 1000);
    return () => clearInterval(timer);
  }, []);
  return tick;
}

function linkWords(now: number): string {
  const { at, live } = link.value;
  if (live) return "Live: every scan is here within a second of its phone's sending it.";
  return `Not live: the server was last heard ${ago(at, now)}. It is asked every 5 seconds.`;
}

function Totals({ sum, replay }: { sum: NightSummary; replay: boolean }) {
  const { phones: holding, events } = sum.unsent;
  return (
    <dl class="night-totals">
      <div>
        <dt>Done</dt>
        <dd id="night-done" class="tab-num">{`${sum.done} / ${sum.due}`}</dd>
      </div>
      <div class={sum.missing > 0 ? "hold" : undefined}>
        <dt>Missing</dt>
        <dd class="tab-num">{sum.missing}</dd>
      </div>
      {!replay && (
        <div class={events > 0 ? "hold" : undefined}>
          <dt>Not sent by phones</dt>
          <dd class="tab-num">{events > 0 ? `${events} on ${holding.length}` : 0}</dd>
        </div>
      )}
      <div>
        <dt>Last case</dt>
        <dd>{sum.close ? rangeOf(sum.close) : clockOf(sum.lastAt)}</dd>
      </div>
    </dl>
  );
}

interface TimeLineProps {
  times: readonly number[];
  at: number | null;
  onAt: (at: number | null) => void;
}

const FAST = 120; // seconds of the night in one second

function TimeLine({ times, at, onAt }: TimeLineProps) {
  const [plays, setPlays] = useState(false);
  const [first, last] = [times[0] ?? 0, times.at(-1) ?? 0];
  useEffect(() => {
    if (!plays || at === null) return;
    if (at >= last) {
      setPlays(false);
      return;
    }
    const timer = setTimeout(() => onAt(Math.min(last, stepOn(times, at, FAST * 250))), 250);
    return () => clearTimeout(timer);
  }, [plays, at, times]);
  return (
    <div class="sieve card">
      <div class="field field-tight grow">
        <label for="night-time">{`Replay: ${clockOf(first)} to ${clockOf(last)}`}</label>
        <input
          id="night-time"
          type="range"
          min={first}
          max={last}
          step={1000}
          value={at ?? last}
          aria-valuetext={clockOf(at ?? last)}
          onInput={(event) => {
            setPlays(false);
            onAt(Number(event.currentTarget.value));
          }}
        />
      </div>
      <Small
        id="night-play"
        pressed={plays}
        onPress={() => {
          if (!plays && (at === null || at >= last)) onAt(first);
          setPlays(!plays);
        }}
      >
        {plays ? "Pause" : "Play, 2 minutes a second"}
      </Small>
      <Small
        id="night-now"
        off={at === null}
        onPress={() => {
          setPlays(false);
          onAt(null);
        }}
      >
        Back to now
      </Small>
    </div>
  );
}

function Phones({ list, now }: { list: readonly Phone[]; now: number }) {
  const sorted = [...list]
    .filter((one) => !one.out)
    .sort((one, other) => other.unsent - one.unsent || one.heard_at - other.heard_at);
  return (
    <details class="card" open={sorted.some((one) => one.unsent > 0)}>
      <summary>{`Phones: ${sorted.length}`}</summary>
      <ul class="night-names">
        {sorted.map((one) => (
          <li key={one.device} class={one.unsent > 0 ? "hold" : undefined}>
            <b>{one.name}</b>
            {one.role === "loader" ? "" : ` (${one.role})`}
            {`, heard ${ago(one.heard_at, now)}`}
            {one.unsent > 0 && `, ${one.unsent} not sent`}
          </li>
        ))}
      </ul>
    </details>
  );
}

/** What people said: hazards, damage, and what the chief decided, with the reasons given. */
function Said({ state, move, now }: { state: State; move: Move; now: Night }) {
  const legs = Object.values(state.legs[move]);
  const lines = [
    ...state.hazards.map((one) => ({
      at: one.at,
      by: one.by,
      text: `Hazard: ${one.text || one.hazard}`,
    })),
    ...Object.values(state.damaged).map((one) => ({
      at: one.at,
      by: one.by,
      text: `${one.code} ${nameOf(now.bundle, one.code)} damaged: ${one.note}`,
    })),
    ...legs.flatMap((leg) => [
      ...Object.values(leg.excused).map((one) => ({
        at: one.at,
        by: one.by,
        text: `${one.code} ${nameOf(now.bundle, one.code)}: ${one.why.replaceAll("_", " ")}${one.note ? `, ${one.note}` : ""}`,
      })),
      ...leg.overridden.map((one) => ({
        at: one.at,
        by: one.by,
        text: `${leg.vehicle}: ${one.gate} overridden, ${one.why}`,
      })),
    ]),
  ].sort((one, other) => other.at - one.at);
  if (lines.length === 0) return null;
  return (
    <section class="card stack">
      <h2>Said and decided</h2>
      <ul class="night-names">
        {lines.slice(0, 40).map((line) => (
          <li key={`${line.at}${line.text}`}>
            <span class="tab-num">{clockOf(line.at)}</span> {line.text}{" "}
            <span class="soft">{line.by}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}

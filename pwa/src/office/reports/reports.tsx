/** What the nights tell together: forgotten, damaged, minutes, slack. Drawn where a picture helps. */
import { useEffect, useState } from "preact/hooks";
import { SmallPhoto } from "../cases/photos";
import { call } from "../shared/api";
import { Empty, Head } from "../shared/controls";
import { To } from "../shared/router";
import { byId, tried } from "../shared/state";
import { day } from "../shared/units";
import { usual } from "./usual-minutes";

interface Leg {
  move: string;
  vehicle: string;
  minutes: number;
  cases: number;
  rows: number;
  slack_rows: number;
  unfilled: number;
}
interface Night {
  show: string;
  name: string;
  date: string;
  short: string[];
  damaged: string[];
  legs: Leg[];
  signed: boolean;
}
interface Ranked {
  code: string;
  name: string;
  count: number;
}
interface Report {
  nights: Night[];
  forgotten: Ranked[];
  damaged: Ranked[];
  /** Nights that the server has not added up yet: it adds some with every request. */
  left: number;
}
const MOVES: Record<string, string> = {
  shop_load: "load at the shop",
  load_in: "load-in",
  load_out: "load-out",
  put_away: "put-away",
};

export function Reports() {
  const [report, setReport] = useState<Report | null>(null);
  const left = report?.left ?? -1;
  useEffect(() => {
    if (left !== 0) void tried(() => call<Report>("GET", "/reports")).then(setReport);
  }, [left]);
  if (!report) return <p class="soft">One moment.</p>;
  if (report.nights.length === 0)
    return (
      <>
        <Head title="Reports" />
        <Empty>No night has been worked yet.</Empty>
      </>
    );
  return (
    <>
      <Head title="Reports" sub={`the newest ${report.nights.length} nights`} />
      {report.left > 0 && <p class="soft">Adding up {report.left} older nights.</p>}
      <div class="halves">
        <Ranks word="Most often not back" all={report.forgotten} none="Everything came back." />
        <Ranks word="Most often damaged" all={report.damaged} none="Nothing was damaged." />
      </div>
      <OverTime nights={report.nights} />
      <UsualMinutes nights={report.nights} />
      <Minutes nights={report.nights} />
    </>
  );
}

function Ranks({ word, all, none }: { word: string; all: Ranked[]; none: string }) {
  const most = Math.max(1, ...all.map((each) => each.count));
  return (
    <section class="card stack" aria-label={word}>
      <h2>{word}</h2>
      {all.length === 0 && <p class="soft">{none}</p>}
      <ol>
        {all.slice(0, 10).map((each) => (
          <li key={each.code} class="rank">
            <To to={`fleet/${encodeURIComponent(each.code)}`} class="code link">
              {each.code}
            </To>
            <span class="line">
              <SmallPhoto code={each.code} />
              {each.name}
            </span>
            <svg viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
              <path
                d={`M0 5H${(100 * each.count) / most}`}
                stroke="var(--steel)"
                stroke-width="10"
              />
            </svg>
            <b class="tab-num">{each.count}</b>
          </li>
        ))}
      </ol>
    </section>
  );
}

/** So many nights find room for their day under the bars. */
const LABELLED = 12;

/** Night by night, oldest first: short above the line, damaged below it. */
function OverTime({ nights }: { nights: Night[] }) {
  const all = [...nights].reverse();
  const most = Math.max(1, ...all.map((each) => Math.max(each.short.length, each.damaged.length)));
  const step = 100 / all.length;
  const tall = (count: number) => (count / most) * 44;
  return (
    <section class="card stack" aria-label="Over time">
      <h2>Short and damaged, night by night</h2>
      <svg
        class="over-time"
        viewBox="0 0 100 100"
        preserveAspectRatio="none"
        role="img"
        aria-label={all
          .map((each) => `${each.name}: ${each.short.length} short, ${each.damaged.length} damaged`)
          .join("; ")}
      >
        {all.map((each, index) => (
          <g key={each.show}>
            <rect
              x={index * step + step * 0.15}
              y={49 - tall(each.short.length)}
              width={step * 0.7}
              height={tall(each.short.length)}
              fill="var(--hold)"
            />
            <rect
              x={index * step + step * 0.15}
              y={51}
              width={step * 0.7}
              height={tall(each.damaged.length)}
              fill="var(--steel)"
            />
          </g>
        ))}
        <path d="M0 50H100" stroke="var(--ink)" stroke-width="0.6" />
      </svg>
      <ol class="nights" style={{ "--nights": String(all.length) }} aria-hidden="true">
        {all.map((each) => (
          <li key={each.show}>{all.length <= LABELLED ? day(each.date) || each.name : ""}</li>
        ))}
      </ol>
      <p class="soft">Above the line: cases short. Below it: damaged. At most {most} a night.</p>
    </section>
  );
}

/** Slack is filled when a vehicle is loaded, and at no other time. */
const LOADS = new Set(["shop_load", "load_out"]);

function Slack({ leg }: { leg: Leg }) {
  return (
    <>
      {leg.slack_rows} of {leg.rows}
      {leg.unfilled > 0 && <span class="bad"> {leg.unfilled} not filled</span>}
    </>
  );
}

/** For the next call sheet: how long to plan for. */
function UsualMinutes({ nights }: { nights: Night[] }) {
  const all = usual(nights.flatMap((night) => night.legs));
  if (all.length === 0) return null;
  return (
    <section class="card stack" aria-label="What it usually takes">
      <h2>What it usually takes</h2>
      <table class="plain" id="usual-minutes">
        <thead>
          <tr>
            <th scope="col">Vehicle</th>
            <th scope="col">Move</th>
            <th scope="col">Nights</th>
            <th scope="col">Minutes, shortest</th>
            <th scope="col">Half of them within</th>
            <th scope="col">Longest</th>
            <th scope="col">Cases an hour</th>
          </tr>
        </thead>
        <tbody>
          {all.map((each) => (
            <tr key={`${each.vehicle} ${each.move}`}>
              <td>{byId.value.get(each.vehicle)?.name || each.vehicle}</td>
              <td>{MOVES[each.move] ?? each.move}</td>
              {[each.nights, each.least, each.middle, each.most, each.pace].map((figure, at) => (
                <td key={at} class="tab-num">
                  {figure}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Minutes({ nights }: { nights: Night[] }) {
  const shown = nights.slice(0, 20);
  const longest = Math.max(1, ...shown.flatMap((night) => night.legs).map((leg) => leg.minutes));
  return (
    <section class="card stack" aria-label="Minutes per vehicle">
      <h2>Minutes per vehicle</h2>
      <table class="plain">
        <thead>
          <tr>
            <th scope="col">Night</th>
            <th scope="col">Vehicle</th>
            <th scope="col">Move</th>
            <th scope="col">Minutes</th>
            <th scope="col">Cases</th>
            <th scope="col">Rows with slack to fill</th>
          </tr>
        </thead>
        <tbody>
          {shown.flatMap((night) =>
            night.legs.map((leg) => (
              <tr key={`${night.show}${leg.move}${leg.vehicle}`}>
                <td>
                  {night.name} <span class="soft">{day(night.date)}</span>
                </td>
                <td>{byId.value.get(leg.vehicle)?.name || leg.vehicle}</td>
                <td>{MOVES[leg.move] ?? leg.move}</td>
                <td class="tab-num">
                  {leg.minutes}
                  <svg
                    class="minutes"
                    viewBox="0 0 100 8"
                    preserveAspectRatio="none"
                    aria-hidden="true"
                  >
                    <path
                      d={`M0 4H${(100 * leg.minutes) / longest}`}
                      stroke="var(--steel)"
                      stroke-width="8"
                    />
                  </svg>
                </td>
                <td class="tab-num">{leg.cases}</td>
                <td class="tab-num">{LOADS.has(leg.move) && <Slack leg={leg} />}</td>
              </tr>
            )),
          )}
        </tbody>
      </table>
    </section>
  );
}

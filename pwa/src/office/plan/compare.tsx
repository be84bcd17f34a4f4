/** Two revisions side by side, and what differs between them. */
import { useEffect, useState } from "preact/hooks";
import type { VehicleSheet } from "../../core/bundle";
import { Balance } from "../drawing/load-bars";
import type { Plan, PlanLine, Show } from "../shared/api-types";
import { call } from "../shared/api";
import { Pick } from "../shared/controls";
import { WhatIf } from "./replan";
import { go, To } from "../shared/router";
import { byCode, tried } from "../shared/state";
import { TopView } from "../drawing/top-view";
import { length } from "../shared/units";
import { massOfAll } from "../shared/weighed";

interface CompareProps {
  show: Show;
  one: number;
  other: number;
}

export function Compare({ show, one, other }: CompareProps) {
  const [lines, setLines] = useState<PlanLine[]>([]);
  const [plans, setPlans] = useState<Record<number, Plan>>({});
  useEffect(() => {
    void tried(() => call<PlanLine[]>("GET", `/shows/${show.id}/plans`)).then((got) =>
      setLines(got ?? []),
    );
  }, [show.id, other]);
  useEffect(() => {
    for (const revision of [one, other])
      if (revision && !plans[revision])
        void tried(() => call<Plan>("GET", `/shows/${show.id}/plans/${revision}`)).then(
          (got) => got && setPlans((old) => ({ ...old, [revision]: got })),
        );
  }, [one, other]);
  const options = lines.map(
    (each) => [String(each.revision), `Revision ${each.revision}`] as const,
  );
  const [left, right] = [plans[one], plans[other]];
  return (
    <div class="stack">
      <h2>Compare</h2>
      <WhatIf show={show} />
      <div class="halves">
        <Side id="left" {...{ show, options, plan: left, at: one }} to={(n) => `${n}/${other}`} />
        <Side id="right" {...{ show, options, plan: right, at: other }} to={(n) => `${one}/${n}`} />
      </div>
      {left && right && <Differences left={left} right={right} />}
    </div>
  );
}

interface SideProps {
  id: string;
  show: Show;
  options: readonly (readonly [string, string])[];
  plan: Plan | undefined;
  at: number;
  to: (revision: string) => string;
}

function Side({ id, show, options, plan, at, to }: SideProps) {
  return (
    <section class="stack" aria-label={`Revision ${at}`}>
      <Pick
        id={`compare-${id}`}
        label="Revision"
        value={String(at)}
        options={options}
        onChange={(value) => go(`shows/${show.id}/compare/${to(value)}`)}
      />
      {plan && (
        <>
          <p>
            <b class="tall big">{length(floorOf(plan.sheets))}</b> of floor,{" "}
            {plan.faults.length === 0 ? "every rule kept" : `${plan.faults.length} rules broken`}
            {plan.plan.left_out.length > 0 && `, ${plan.plan.left_out.length} left out`}
          </p>
          {plan.sheets.map((sheet) => (
            <div key={sheet.id} class="stack">
              <h3>{sheet.name}</h3>
              <div
                class="drawing-scrolls"
                tabIndex={0}
                role="group"
                aria-label={`Drawing of ${sheet.name} in revision ${at}`}
              >
                <TopView sheet={sheet} label={`${sheet.name} in revision ${at}`} />
              </div>
              <Balance sheet={sheet} />
            </div>
          ))}
          <To to={`shows/${show.id}/plan/${at}`} class="btn btn-small">
            Open revision {at}
          </To>
        </>
      )}
    </section>
  );
}

const floorOf = (sheets: readonly VehicleSheet[]): number =>
  sheets.reduce((sum, sheet) => sum + sheet.floor_length_um, 0);

/** Where each case stands, in words that can be compared. */
function spots(plan: Plan): Map<string, string> {
  const found = new Map<string, string>();
  for (const sheet of plan.sheets)
    for (const row of sheet.rows)
      for (const place of row.places)
        found.set(
          place.code,
          `${sheet.id}, row ${row.number}${place.on.length ? `, on ${place.on.join(" and ")}` : ""}`,
        );
  for (const left of plan.plan.left_out) found.set(left.code, "left out");
  return found;
}

function Differences({ left, right }: { left: Plan; right: Plan }) {
  const [was, is] = [spots(left), spots(right)];
  const codes = [...new Set([...was.keys(), ...is.keys()])].sort();
  const moved = codes.filter((code) => was.get(code) !== is.get(code));
  return (
    <section class="card stack" id="differences" aria-label="Differences">
      <h3>
        {moved.length === 0 ? "Every case stands in the same row" : `${moved.length} cases differ`}
      </h3>
      {moved.length > 0 && (
        <table class="plain">
          <thead>
            <tr>
              <th scope="col">Case</th>
              <th scope="col">Revision {left.revision}</th>
              <th scope="col">Revision {right.revision}</th>
            </tr>
          </thead>
          <tbody>
            {moved.map((code) => (
              <tr key={code}>
                <td>
                  <span class="code">{code}</span> {byCode.value.get(code)?.name}{" "}
                  <span class="soft">{massOfAll([code])}</span>
                </td>
                <td>{was.get(code) ?? "not called"}</td>
                <td>{is.get(code) ?? "not called"}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}

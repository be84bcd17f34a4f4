/** The plan of a show: asked for, watched while it gets better, drawn, handed out. */
import { useEffect, useState } from "preact/hooks";
import type { VehicleSheet } from "../../core/bundle";
import { Icon } from "../../ui/icon";
import { Button } from "../../ui/parts";
import type { Plan, PlanLine, Show } from "../shared/api-types";
import { call, save } from "../shared/api";
import { BeforeIssue } from "./before-issue";
import { DropsLegend, dropOf } from "../drawing/drops";
import { Planning, QualityPart } from "./progress";
import { Empty, Small } from "../shared/controls";
import { go, To } from "../shared/router";
import { done, loadShows, tried } from "../shared/state";
import { length, moment } from "../shared/units";
import { massOfAll } from "../shared/weighed";
import { TintLegend } from "../drawing/tint-legend";
import { VehicleDrawing } from "../drawing/vehicle";

interface PlanPartProps {
  show: Show;
  part: readonly string[];
  onChange: () => Promise<void>;
}

export function PlanPart({ show, part, onChange }: PlanPartProps) {
  const [lines, setLines] = useState<PlanLine[] | null>(null);
  const load = async () => setLines(await tried(() => call("GET", `/shows/${show.id}/plans`)));
  useEffect(() => void load(), [show.id]);
  const newest = lines?.at(-1)?.revision ?? 0;
  // The newest may be a what-if: without an address the crew's own plan is opened.
  const revision = Number(part[0] ?? "") || (lines ? show.issued : 0) || newest;
  return (
    <div class="stack">
      {revision > 0 && <Which show={show} now={revision} newest={newest} />}
      <Planning
        show={show}
        onDone={async (made) => {
          await load();
          if (made) go(`shows/${show.id}/plan/${made}`);
        }}
      />
      {lines && lines.length > 0 && <Revisions show={show} lines={lines} now={revision} />}
      {lines?.length === 0 && (
        <Empty>
          <p>No plan yet.</p>
          <p class="soft">Say how long to look for a better one, and plan.</p>
        </Empty>
      )}
      {revision > 0 && (
        <Revision
          key={revision}
          show={show}
          revision={revision}
          onIssued={async () => {
            await Promise.all([load(), onChange(), loadShows()]);
          }}
        />
      )}
    </div>
  );
}

/** Which revision is shown, whose it is, and the way to the crew's and to the newest. */
function Which({ show, now, newest }: { show: Show; now: number; newest: number }) {
  const crews = show.issued;
  return (
    <p class="line line-wrap" id="which">
      <b class="tall big">
        Revision {now}, {now === crews ? "the crew's" : "not issued"}
      </b>
      {crews > 0 && now !== crews && (
        <To to={`shows/${show.id}/plan/${crews}`} class="btn btn-small">
          The crew's: revision {crews}
        </To>
      )}
      {newest > 0 && now !== newest && newest !== crews && (
        <To to={`shows/${show.id}/plan/${newest}`} class="btn btn-small">
          The newest: revision {newest}
        </To>
      )}
    </p>
  );
}

function Revisions({ show, lines, now }: { show: Show; lines: PlanLine[]; now: number }) {
  return (
    <nav class="revisions no-print" aria-label="Revisions">
      {[...lines].reverse().map((each) => (
        <To
          key={each.revision}
          to={`shows/${show.id}/plan/${each.revision}`}
          class="revision"
          current={each.revision === now}
        >
          <b class="tall">Revision {each.revision}</b>
          <span class="soft">{moment(each.made_at)}</span>
          <span>{length(each.floor_length_um)} of floor</span>
          {each.faults > 0 && <span class="bad">{each.faults} rules broken</span>}
          {each.left_out > 0 && <span class="bad">{each.left_out} left out</span>}
          {each.revision === show.issued && <span class="good">issued</span>}
        </To>
      ))}
    </nav>
  );
}

interface RevisionProps {
  show: Show;
  revision: number;
  onIssued: () => Promise<void>;
}

function Revision({ show, revision, onIssued }: RevisionProps) {
  const [plan, setPlan] = useState<Plan | null>(null);
  const [asking, setAsking] = useState(false);
  const address = `/shows/${show.id}/plans/${revision}`;
  useEffect(() => {
    void tried(() => call<Plan>("GET", address)).then((got) => {
      if (got) dropOf.value = new Map(Object.entries(got.drops));
      setPlan(got);
    });
  }, [address]);
  if (!plan) return <p class="soft">One moment.</p>;
  const issued = show.issued === revision;
  const handedOut = async () => {
    await onIssued();
    done.value = `Revision ${revision} is in the crew's hands.`;
  };
  const ask = { address, issued: show.issued, onIssued: handedOut };
  return (
    <section class="stack" aria-label={`Revision ${revision}`}>
      <div class="line line-wrap">
        <h2 class="grow">Revision {revision}</h2>
        {issued ? (
          <span class="tag good" id="issued">
            <Icon name="hand" size={20} />
            in the crew's hands
          </span>
        ) : (
          <Button id="issue" icon="hand" tone="ask" onPress={() => setAsking(true)}>
            Issue it to the crew
          </Button>
        )}
        <Small id="edit" onPress={() => go(`shows/${show.id}/edit/${revision}`)}>
          Move by hand
        </Small>
        <Small onPress={() => go(`shows/${show.id}/compare/${revision}`)}>Compare, what if</Small>
        <Small onPress={() => print()}>Print</Small>
        {issued && (
          <Small
            id="crew-sheet"
            onPress={() => void tried(() => save(`/shows/${show.id}/sheet.pdf`, "sheet.pdf"))}
          >
            Crew sheet, PDF
          </Small>
        )}
      </div>
      {asking && !issued && <BeforeIssue {...ask} onCancel={() => setAsking(false)} />}
      <InAll sheets={plan.sheets} />
      <QualityPart quality={plan.quality} />
      <DropsLegend />
      <TintLegend codes={plan.sheets.flatMap((sheet) => sheet.load)} />
      <Verdict plan={plan} />
      {plan.sheets.map((sheet) => (
        <VehicleDrawing key={sheet.id} sheet={sheet} />
      ))}
    </section>
  );
}

/** The whole plan in one line. */
function InAll({ sheets }: { sheets: readonly VehicleSheet[] }) {
  const sum = (of: (sheet: VehicleSheet) => number) =>
    sheets.reduce((total, sheet) => total + of(sheet), 0);
  const straps = sum((sheet) => sheet.rows.reduce((count, row) => count + row.straps, 0));
  const known = sheets.every((sheet) => sheet.straps !== null);
  return (
    <p id="in-all">
      In all {sum((sheet) => sheet.load.length)} cases in{" "}
      {sheets.length === 1 ? "1 vehicle" : `${sheets.length} vehicles`},{" "}
      {massOfAll(sheets.flatMap((sheet) => sheet.load))}, {straps} straps
      {known && ` of ${sum((sheet) => sheet.straps?.count ?? 0)} on board`}.
    </p>
  );
}

/** What the judge says, and what stays. */
export function Verdict({ plan }: { plan: Pick<Plan, "plan" | "faults"> }) {
  const left = plan.plan.left_out;
  return (
    <>
      {plan.faults.length > 0 && (
        <div class="trouble" id="faults" role="status">
          <p>
            {plan.faults.length === 1 ? "1 rule is" : `${plan.faults.length} rules are`} broken. A
            plan is issued only when none is.
          </p>
          <ul class="faults">
            {plan.faults.map((fault) => (
              <li key={fault}>{fault}</li>
            ))}
          </ul>
        </div>
      )}
      {left.length > 0 && (
        <div class="trouble" id="left-out" role="status">
          <p>{left.length === 1 ? "1 case does" : `${left.length} cases do`} not go.</p>
          <ul class="faults">
            {left.map((each) => (
              <li key={each.code}>
                <span class="code">{each.code}</span> {each.reason}
              </li>
            ))}
          </ul>
        </div>
      )}
    </>
  );
}

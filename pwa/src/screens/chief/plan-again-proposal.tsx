/** A proposal: how much work it is, the floor before and after, every move, and its issue. */
import { useState } from "preact/hooks";
import { bundle, state, move } from "../../app-model";
import { issueProposal, type Proposal } from "../../app-model-chief";
import type { Bundle, VehicleSheet } from "../../core/bundle";
import { planMoves, type PlanMove, type Spot } from "../../core/plan-moves";
import { t } from "../../i18n";
import { Floor } from "../../ui/floor";
import { Button } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { caseName, vehicleName } from "../shared/names";
import { back } from "../shared/navigation";
import { sideWord, stanceWord } from "../shared/format";
import { rowLook } from "../shared/row-look";
import { Said } from "../shared/server-text";

interface ProposedProps {
  proposal: Proposal;
  loaded: Readonly<Record<string, readonly number[]>>;
  onBack: () => void;
  onIssued: () => void;
}

export function Proposed({ proposal, loaded, onBack, onIssued }: ProposedProps) {
  const [why, setWhy] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const lawful =
    proposal.revision !== null && proposal.faults.length === 0 && proposal.left_out.length === 0;
  const issue = async () => {
    setBusy(true);
    const answer = await issueProposal(proposal.job);
    setBusy(false);
    if (!answer.ok) return setWhy(answer.why ?? t("again.no_server"));
    onIssued();
    back();
  };
  return (
    <Frame
      title={t("again.proposed")}
      thumb={
        <>
          {lawful && (
            <Button tone="main" icon="check" busy={busy} onPress={issue} id="issue-again">
              {t("again.issue")}
            </Button>
          )}
          <Button icon="back" onPress={onBack} id="wish-again">
            {t("again.other")}
          </Button>
        </>
      }
    >
      {why && (
        <p class="trouble" role="alert">
          {why}
        </p>
      )}
      <Refused proposal={proposal} />
      {bundle.value && <Meant before={bundle.value} sheets={proposal.sheets} loaded={loaded} />}
      <p class="caution">{t("caution.planning")}</p>
    </Frame>
  );
}

interface MeantProps {
  before: Bundle;
  sheets: VehicleSheet[];
  loaded: ProposedProps["loaded"];
}

/** The work in a line, the floors, the moves one by one. */
function Meant({ before, sheets, loaded }: MeantProps) {
  const moves = planMoves(before, { ...before, vehicles: sheets });
  return (
    <>
      <Work moves={moves} loaded={loaded} after={sheets} />
      {sheets.map((sheet) => (
        <BothFloors
          key={sheet.id}
          before={before.vehicles.find(({ id }) => id === sheet.id) ?? null}
          after={sheet}
          moves={moves}
        />
      ))}
      <Moves moves={moves} />
    </>
  );
}

/** Why it cannot be issued as it is. */
function Refused({ proposal: { trouble, faults, left_out } }: { proposal: Proposal }) {
  const words = [...(trouble ? [trouble] : []), ...faults];
  if (words.length === 0 && left_out.length === 0) return null;
  return (
    <section class="trouble stack" role="alert" id="not-lawful">
      {left_out.length > 0 && <p>{t("again.left_out", { codes: left_out.join(", ") })}</p>}
      {words.map((one) => (
        <p key={one}>
          <Said text={one} />
        </p>
      ))}
    </section>
  );
}

interface WorkProps {
  moves: readonly PlanMove[];
  loaded: Readonly<Record<string, readonly number[]>>;
  after: readonly VehicleSheet[];
}

/** "Take off 2, put on 3; rows 1 to 5 stay", by vehicle. */
function Work({ moves, loaded, after }: WorkProps) {
  const legs = move.value ? state.value?.legs[move.value] : undefined;
  return (
    <ul class="list" id="work">
      {after.map(({ id, name }) => {
        const on = new Set(legs?.[id]?.on);
        const here = moves.filter(({ from, to }) => from?.vehicle === id || to?.vehicle === id);
        const off = here.filter(({ code }) => on.has(code)).length;
        const put = here.filter(({ to }) => to?.vehicle === id).length;
        const stay = loaded[id] ?? [];
        return (
          <li key={id}>
            <b>{name}</b>: {t("again.work", { off, on: put })}
            {stay.length > 0 && `; ${t("again.stay", { n: stay.length, rows: spans(stay) })}`}
          </li>
        );
      })}
    </ul>
  );
}

/** 1, 2, 3, 6 as "1–3, 6". */
function spans(numbers: readonly number[]): string {
  const found: [number, number][] = [];
  for (const one of [...numbers].sort((a, b) => a - b)) {
    const last = found.at(-1);
    if (last && one <= last[1] + 1) last[1] = one;
    else found.push([one, one]);
  }
  return found.map(([from, to]) => (from === to ? `${from}` : `${from}–${to}`)).join(", ");
}

interface FloorsProps {
  before: VehicleSheet | null;
  after: VehicleSheet;
  moves: readonly PlanMove[];
}

/** Only vehicles in which something changes are drawn. */
function BothFloors({ before, after, moves }: FloorsProps) {
  const leg = move.value ? state.value?.legs[move.value][after.id] : undefined;
  const changed = moves.some(
    ({ from, to }) => from?.vehicle === after.id || to?.vehicle === after.id,
  );
  if (!changed) return null;
  const look = (row: number) => (leg ? rowLook(leg, row) : "empty");
  return (
    <section class="card stack" aria-label={after.name}>
      <h2>{after.name}</h2>
      {before && (
        <>
          <p class="soft">{t("again.before")}</p>
          <Floor vehicle={before} look={look} label={t("again.before")} />
        </>
      )}
      <p class="soft">{t("again.after")}</p>
      <Floor vehicle={after} look={look} label={t("again.after")} />
    </section>
  );
}

function Moves({ moves }: { moves: readonly PlanMove[] }) {
  if (moves.length === 0) return <p class="note">{t("again.no_moves")}</p>;
  return (
    <ul class="list" id="again-moves">
      {moves.map(({ code, from, to }) => (
        <li key={code}>
          <span class="code">{code}</span> {caseName(code)}
          <br />
          {t("changes.from_to", {
            from: from ? spot(from) : t("changes.new"),
            to: to ? spot(to) : t("changes.gone"),
          })}
        </li>
      ))}
    </ul>
  );
}

function spot({ vehicle, row, place }: Spot): string {
  return [
    vehicleName(vehicle),
    t("row.title", { row }),
    sideWord(place.side),
    stanceWord(place),
  ].join(", ");
}

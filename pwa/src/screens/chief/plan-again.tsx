/** The chief changes the plan from the dock: wishes first, then what they would mean, then the issue. */
import { computed, signal } from "@preact/signals";
import { useState } from "preact/hooks";
import { bundle, link, move, state } from "../../app-model";
import { planAgain, whyNot, type Proposal } from "../../app-model-chief";
import type { Bundle } from "../../core/bundle";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Button } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { caseName } from "../shared/names";
import { go } from "../shared/navigation";
import { unloads } from "../shared/sequence";
import { Ask, type Wish, type WishKind } from "./plan-again-ask";
import { Proposed } from "./plan-again-proposal";

/** Kept while other screens are open; empty again once a plan is issued. */
const wishes = signal<readonly Wish[]>([]);
const proposal = signal<Proposal | null>(null);

/** Rows in which something stands: they stay as they are. */
const loaded = computed<Record<string, number[]>>(() => {
  const at = move.value;
  const legs = Object.values((at && state.value?.legs[at]) || {});
  return Object.fromEntries(
    legs.map((leg) => [
      leg.vehicle,
      leg.rows.filter((row) => row.on.length > 0).map((row) => row.number),
    ]),
  );
});

/** The row stays, and rows before it, even where nobody has scanned them yet. */
function staying(): Record<string, number[]> {
  const rows = { ...loaded.value };
  for (const { kind, vehicle, row } of wishes.value)
    if (kind === "row" && vehicle && row)
      rows[vehicle] = [
        ...new Set([...(rows[vehicle] ?? []), ...Array.from({ length: row }, (_, at) => at + 1)]),
      ].sort((a, b) => a - b);
  return rows;
}

const codesOf = (kind: WishKind): string[] =>
  wishes.value.filter((one) => one.kind === kind).map(({ code }) => code);

export function PlanAgain() {
  const sheet = bundle.value;
  if (!sheet) return <Frame title={t("again.title")} children={null} />;
  if (!proposal.value) return <Wishing sheet={sheet} />;
  return (
    <Proposed
      proposal={proposal.value}
      loaded={staying()}
      onBack={() => (proposal.value = null)}
      onIssued={() => {
        proposal.value = null;
        wishes.value = [];
      }}
    />
  );
}

function Wishing({ sheet }: { sheet: Bundle }) {
  const [busy, setBusy] = useState(false);
  const [trouble, setTrouble] = useState<string | null>(null);
  const [asking, setAsking] = useState<WishKind | null>(null);
  const ask = async () => {
    setBusy(true);
    setTrouble(null);
    try {
      proposal.value = await planAgain(sheet, staying(), asWishes());
    } catch (error) {
      setTrouble(whyNot(error) ?? t("again.no_server"));
    }
    setBusy(false);
  };
  const add = (wish: Wish) => {
    wishes.value = [...wishes.value.filter((one) => !same(one, wish)), wish];
    setAsking(null);
    if (wish.kind === "damaged") go("case", wish.code);
  };
  const nothing = busy || wishes.value.length === 0;
  return (
    <Frame
      title={t("again.title")}
      thumb={
        <Button tone="main" icon="swap" busy={nothing} onPress={ask} id="plan-again">
          {t(busy ? "again.planning" : "again.ask")}
        </Button>
      }
    >
      {link.value.state !== "reached" && <Alone />}
      {trouble && (
        <p class="trouble" role="alert">
          {trouble}
        </p>
      )}
      {move.value && unloads(move.value) && <p class="note">{t("again.unloading")}</p>}
      <Wished />
      {asking ? (
        <Ask kind={asking} onWish={add} onClose={() => setAsking(null)} />
      ) : (
        <Kinds onPick={setAsking} />
      )}
    </Frame>
  );
}

const same = (one: Wish, other: Wish): boolean =>
  one.code === other.code && (one.kind === "truck") === (other.kind === "truck");

function asWishes() {
  const trucks = codesOf("truck");
  const planned = bundle.value?.vehicles.map(({ id }) => id) ?? [];
  return {
    add: codesOf("add"),
    leave: [...codesOf("leave"), ...codesOf("damaged")],
    swap: Object.fromEntries(
      wishes.value.flatMap(({ kind, code, spare }) =>
        kind === "swap" && spare ? [[code, spare]] : [],
      ),
    ),
    out: codesOf("row"),
    vehicles: trucks.length > 0 ? [...new Set([...planned, ...trucks])] : null,
  };
}

const KINDS: readonly {
  kind: WishKind;
  icon: "plus" | "stay" | "swap" | "broken" | "truck" | "rows";
}[] = [
  { kind: "add", icon: "plus" },
  { kind: "leave", icon: "stay" },
  { kind: "swap", icon: "swap" },
  { kind: "damaged", icon: "broken" },
  { kind: "row", icon: "rows" },
  { kind: "truck", icon: "truck" },
];

function Kinds({ onPick }: { onPick: (kind: WishKind) => void }) {
  return (
    <div class="pair pair-two">
      {KINDS.map(({ kind, icon }) => (
        <Button key={kind} icon={icon} onPress={() => onPick(kind)} id={`wish-${kind}`}>
          {t(`again.${kind}`)}
        </Button>
      ))}
    </div>
  );
}

/** What is wished so far, one tap each to take it back. */
function Wished() {
  if (wishes.value.length === 0) return <p class="note">{t("again.none")}</p>;
  return (
    <ul class="list" aria-label={t("again.wished")} id="wishes">
      {wishes.value.map((one) => (
        <li key={`${one.kind} ${one.code}`}>
          <button
            type="button"
            class="item"
            onClick={() => (wishes.value = wishes.value.filter((other) => other !== one))}
          >
            <span class="grow">
              <span class="unseen">{t("again.drop", { code: one.code })}: </span>
              {t(`again.${one.kind}`)}: <span class="code">{one.code}</span>{" "}
              {one.kind !== "truck" && caseName(one.code)}
              {one.spare && (
                <>
                  {" → "}
                  <span class="code">{one.spare}</span> {caseName(one.spare)}
                </>
              )}
              {one.row && ` (${t("row.title", { row: one.row })})`}
            </span>
            <Icon name="close" />
          </button>
        </li>
      ))}
    </ul>
  );
}

/** Without the server nothing is planned: a late case goes behind the last row, and is said so. */
function Alone() {
  return (
    <section class="card card-ask stack" id="no-planner">
      <p>{t("again.alone")}</p>
      <Button icon="plus" onPress={() => go("add")}>
        {t("add.open")}
      </Button>
    </section>
  );
}

/** Not on: four meanings that never look alike, each with where it was last seen. */
import { bundle, leg, move, state, unsent, vehicle } from "../../app-model";
import type { NotOn as Open, Status } from "../../core/state";
import { t } from "../../i18n";
import { Icon, type IconName } from "../../ui/icon";
import { CasePhoto } from "../shared/case-photo";
import { Frame } from "../shared/frame";
import { go } from "../shared/navigation";
import { caseName, vehicleName } from "../shared/names";
import { seenPlace } from "../shared/seen";
import { leftKey, placeOf, sequence, unloads } from "../shared/sequence";
import { useNow } from "../scan/undo";
import { ago, sideWord } from "../shared/format";

const ORDER: readonly Status[] = [
  "missing",
  "not_yet",
  "left_on_purpose",
  "never_came",
  "swapped",
  "other_vehicle",
];
const ICONS: Record<Status, IconName> = {
  missing: "lost",
  not_yet: "wait",
  left_on_purpose: "stay",
  never_came: "never",
  swapped: "swap",
  other_vehicle: "truck",
};

export function NotOn() {
  const now = leg.value;
  const doing = move.value;
  const title = t(doing !== null && unloads(doing) ? leftKey(doing) : "noton.title");
  if (!now) return <Frame title={title} top tabs children={null} />;
  const groups = ORDER.map((status) => ({
    status,
    cases: now.not_on.filter((one) => one.status === status),
  })).filter((group) => group.cases.length > 0);
  return (
    <Frame title={title} top tabs>
      <h1 class="unseen">{title}</h1>
      {unsent.value > 0 && <p class="note">{t("noton.unsent", { n: unsent.value })}</p>}
      {groups.length === 0 && <p class="card card-go">{t("noton.none")}</p>}
      {groups.map((group) => (
        <Group key={group.status} status={group.status} cases={group.cases} />
      ))}
    </Frame>
  );
}

function Group({ status, cases }: { status: Status; cases: readonly Open[] }) {
  return (
    <section class={`group group-${status}`} aria-label={t(statusKey(status))}>
      <h2 class="group-head">
        <Icon name={ICONS[status]} size={32} />
        <span class="grow">{t(statusKey(status), { code: "" })}</span>
        <span class="tab-num">{cases.length}</span>
      </h2>
      <ul class="list">
        {ordered(cases).map((one) => (
          <NotOnItem key={one.code} one={one} />
        ))}
      </ul>
    </section>
  );
}

function statusKey(status: Status) {
  return status === "swapped" ? "noton.swapped_head" : (`noton.${status}` as const);
}

function ordered(cases: readonly Open[]): readonly Open[] {
  const at = vehicle.value;
  const now = leg.value;
  const sheet = bundle.value;
  if (!at || !now || !sheet) return cases;
  const order = sequence(at, now, sheet);
  const sorted = [...cases].sort((a, b) => order.indexOf(a.code) - order.indexOf(b.code));
  if (cases[0]?.status !== "missing") return sorted;
  // whoever looks for them walks from place to place: what was seen in one stands together
  const places = [...new Set(sorted.map(whereSeen))];
  return sorted.sort((a, b) => places.indexOf(whereSeen(a)) - places.indexOf(whereSeen(b)));
}

function whereSeen({ code }: Open): string {
  const tonight = state.value?.last_seen[code];
  return tonight ? seenPlace(tonight) : (bundle.value?.cases[code]?.last_seen?.place ?? "");
}

function NotOnItem({ one }: { one: Open }) {
  const found = vehicle.value ? placeOf(vehicle.value, one.code) : null;
  return (
    <li>
      <button type="button" class="item" onClick={() => go("case", one.code)}>
        <span class="row-no">{found ? found.row.number : "?"}</span>
        <span class="grow">
          <span class="code">{one.code}</span> {caseName(one.code)}
          <br />
          <span class="soft">
            {found && <span class="apart">{sideWord(found.place.side)}</span>}
            <Where one={one} />
          </span>
        </span>
        <CasePhoto code={one.code} instead={<Icon name="next" />} />
      </button>
    </li>
  );
}

/** What a case counts as while it is not on, on the screen of that case. */
export function CountsAs({ one }: { one: Open }) {
  return (
    <p class="card line" id="counts-as">
      <Icon name={ICONS[one.status]} size={32} />
      <span class="grow">
        <b>{t(statusKey(one.status))}</b>
        <br />
        <Where one={one} />
      </span>
    </p>
  );
}

/** Why it is accounted for, or where somebody saw it last. */
function Where({ one }: { one: Open }) {
  const now = useNow(30);
  const excuse = leg.value?.excused[one.code];
  if (one.status === "left_on_purpose" && excuse)
    return (
      <>{t("noton.custodian", { name: excuse.custodian ?? "", when: excuse.collect_by ?? "" })}</>
    );
  if (one.status === "swapped") return <>{t("noton.swapped", { code: one.for_code ?? "" })}</>;
  if (one.status === "other_vehicle") return <>{vehicleName(one.to_vehicle ?? one.stands_on)}</>;
  return <LastSeen code={one.code} now={now} quiet={one.status === "not_yet"} />;
}

/** `quiet`: where nobody has seen it, say nothing; of what is still to come that is no news. */
export function LastSeen(props: { code: string; now: number; quiet?: boolean }) {
  const { code, now, quiet = false } = props;
  const tonight = state.value?.last_seen[code];
  const before = bundle.value?.cases[code]?.last_seen;
  if (tonight)
    return (
      <>
        {t("noton.seen", {
          place: seenPlace(tonight),
          ago: ago(tonight.at, now),
          name: tonight.by,
        })}
      </>
    );
  if (before) {
    const { place, at, by: name } = before;
    // another crew's names are not ours to read
    const key = name === "" ? "noton.seen_there" : "noton.seen";
    return <>{t(key, { place, ago: ago(at, now), name })}</>;
  }
  return quiet ? null : <>{t("noton.unseen")}</>;
}

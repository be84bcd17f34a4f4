/** One case: what it is, where it goes, where it was seen; by hand with a reason; damage; excuses. */
import { useState } from "preact/hooks";
import { bundle, leg, move, report, scan, state, vehicle } from "../../app-model";
import { t } from "../../i18n";
import { Doorway } from "../../ui/doorway";
import { Button, Field } from "../../ui/parts";
import { massWord, WeighIn } from "./weigh-in";
import { CasePhoto } from "../shared/case-photo";
import { CheckCard } from "../shared/handling-card";
import { Figures } from "../shared/figures";
import { Frame } from "../shared/frame";
import { back, go, screen } from "../shared/navigation";
import { peopleNow } from "../shared/hands-needed";
import { caseGrams, caseName } from "../shared/names";
import { CountsAs, LastSeen } from "../rows/not-on";
import { onBoard, placeOf, unloads } from "../shared/sequence";
import { useNow } from "../scan/undo";
import { isChief } from "../shared/who";
import { length, sideWord, stanceWord } from "../shared/format";

export function CaseScreen() {
  const code = screen.value.arg;
  const now = useNow(30);
  const at = vehicle.value;
  const found = at ? placeOf(at, code) : null;
  const open = leg.value?.not_on.find((one) => one.code === code);
  const missing = open?.status === "missing";
  return (
    <Frame title={code} thumb={<ByHand code={code} />}>
      <h2>{caseName(code)}</h2>
      <CasePhoto code={code} alt={caseName(code)} large />
      {state.value?.damaged[code] && (
        <p class="trouble">
          {t("answer.damaged")}: {state.value.damaged[code].note}
        </p>
      )}
      {open && open.status !== "not_yet" && <CountsAs one={open} />}
      {missing && <Excuse code={code} />}
      {at && found && leg.value && (
        <Doorway
          vehicle={at}
          row={found.row}
          target={code}
          isOn={(other) => leg.value !== null && onBoard(leg.value, other)}
          label={t("next.place", { row: found.row.number, side: sideWord(found.place.side) })}
        />
      )}
      {found && (
        <p class="tall">
          {t("row.title", { row: found.row.number })}, {sideWord(found.place.side)},{" "}
          {stanceWord(found.place)}, {at && peopleNow(at, found.place)}
        </p>
      )}
      {at && found && <CheckCard place={found.place} vehicle={at} />}
      <Facts code={code} />
      {!missing && (
        <p class="soft">
          <LastSeen code={code} now={now} />
        </p>
      )}
      {open && !missing && <Excuse code={code} />}
      <WeighIn code={code} />
      <Damage code={code} />
      <SeenHere code={code} />
      {found && <Figures title={t("brief.how")} cards={found.place.cards} />}
    </Frame>
  );
}

/** Where a case is missing this is what the chief came for; else it stands with the rest. */
function Excuse({ code }: { code: string }) {
  if (!isChief.value) return null;
  return (
    <Button tone="ask" icon="note" onPress={() => go("excuse", code)}>
      {t("case.excuse")}
    </Button>
  );
}

function Facts({ code }: { code: string }) {
  const units = bundle.value?.units;
  const card = bundle.value?.cases[code];
  const grams = caseGrams(code);
  const owner = card?.owner || state.value?.added[code]?.owner;
  if (!units) return null;
  return (
    <dl class="facts">
      {card?.home && <Fact name={t("case.home")} value={card.home} />}
      {grams !== null && <Fact name={t("case.mass")} value={massWord(code, grams)} />}
      {card && (
        <Fact
          name={t("case.size")}
          value={[card.length_um, card.width_um, card.height_um]
            .map((side) => length(side, units, "up"))
            .join(" × ")}
        />
      )}
      {owner && <Fact name={t("case.owner")} value={owner} />}
    </dl>
  );
}

function Fact({ name, value }: { name: string; value: string }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{value}</dd>
    </div>
  );
}

const REASONS = ["label_gone", "label_bad", "no_camera", "cannot_reach"] as const;

/** A tap in the list counts like a scan; the reason is the tap, and the record keeps it. */
function ByHand({ code }: { code: string }) {
  const off = move.value !== null && unloads(move.value);
  const on = leg.value ? onBoard(leg.value, code) : false;
  if (!off && on)
    return (
      <Button icon="out" onPress={() => report({ kind: "off", code, read: "tap" }).then(back)}>
        {t("case.off")}
      </Button>
    );
  const take = async (why: string) => {
    await scan(code, "tap", { why });
    go("next");
  };
  return (
    <section class="stack" aria-label={t("why.title")} id="by-hand">
      <h2 class="next-label">{t(off ? "case.off_by_hand" : "case.by_hand")}</h2>
      <div class="pair pair-two">
        {REASONS.map((reason) => (
          <Button key={reason} onPress={() => take(t(`why.${reason}`))}>
            {t(`why.${reason}`)}
          </Button>
        ))}
      </div>
    </section>
  );
}

const BROKEN = ["wheel", "latch", "handle", "corner", "wet"] as const;

function Damage({ code }: { code: string }) {
  const [open, setOpen] = useState(false);
  const [note, setNote] = useState("");
  if (state.value?.damaged[code])
    return (
      <Button icon="undo" onPress={() => report({ kind: "repaired", code })} id="repaired">
        {t("case.repaired")}
      </Button>
    );
  if (!open)
    return (
      <Button icon="broken" onPress={() => setOpen(true)} id="broken">
        {t("case.damaged")}
      </Button>
    );
  const save = async (what: string) => {
    if (await report({ kind: "damaged", code, note: what })) setOpen(false);
  };
  return (
    <section class="card card-hold stack">
      <h2>{t("case.damage_note")}</h2>
      <div class="pair pair-two">
        {BROKEN.map((part) => (
          <Button key={part} onPress={() => save(t(`broken.${part}`))}>
            {t(`broken.${part}`)}
          </Button>
        ))}
      </div>
      <Field id="damage" label={t("broken.other")} value={note} onInput={setNote} />
      <Button tone="stop" busy={note.trim() === ""} onPress={() => save(note.trim())}>
        {t("case.save")}
      </Button>
    </section>
  );
}

function SeenHere({ code }: { code: string }) {
  const [open, setOpen] = useState(false);
  const [place, setPlace] = useState("");
  if (!open)
    return (
      <Button icon="lost" onPress={() => setOpen(true)}>
        {t("case.seen")}
      </Button>
    );
  const save = async () => {
    if (await report({ kind: "seen", code, place: place.trim(), read: "tap" })) setOpen(false);
  };
  return (
    <section class="card stack">
      <Field id="place" label={t("case.place")} value={place} onInput={setPlace} />
      <Button busy={place.trim() === ""} onPress={save}>
        {t("case.save")}
      </Button>
    </section>
  );
}

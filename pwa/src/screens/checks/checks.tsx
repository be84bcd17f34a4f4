/** The checks of this vehicle and move, a few at each moment; a tap answers, and the next is there. */
import { useEffect, useRef, useState } from "preact/hooks";
import { bundle, leg, report, vehicle } from "../../app-model";
import type { Check, Move, Moment } from "../../core/bundle";
import type { CheckState } from "../../core/state";
import { t, type Key } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Button, Field } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { go, screen } from "../shared/navigation";
import { cardUp, lacking } from "../../core/checklist";
import { PhotoButton } from "../scan/photo";
import { PhotoView } from "../shared/photo-view";
import { unloads } from "../shared/sequence";
import { slopeWord } from "../shared/slope";
import { useNow } from "../scan/undo";
import { ago, owned } from "../shared/format";

interface Asked {
  check: Check;
  known: CheckState;
}

const MOMENTS: readonly Moment[] = ["before", "during", "end"];
const momentOf = ({ check }: Asked): Moment => check.moment ?? "end";

function momentWord(moment: Moment, move: Move): Key {
  if (moment === "before") return "brief.title";
  if (moment === "during") return unloads(move) ? "moment.unloading" : "moment.loading";
  return unloads(move) ? "moment.end" : "moment.doors";
}

export function Checks() {
  const now = leg.value;
  const sheet = bundle.value;
  const title = t("check.title");
  const [whole, setWhole] = useState(false);
  const before = now?.before_open.length ?? 0;
  // the last card answered: the first case may go
  const left = useRef(before);
  useEffect(() => {
    if (left.current > 0 && before === 0 && !whole) go("next", "", true);
    left.current = before;
  }, [before]);
  if (!now || !sheet) return <Frame title={title} top tabs children={null} />;
  const asked = now.checks.flatMap((known): Asked[] => {
    const check = sheet.checks.find((one) => one.move === now.move && one.id === known.id);
    return check ? [{ check, known }] : [];
  });
  if (before > 0 && !whole)
    return (
      <Frame title={title} top tabs>
        <Card asked={asked} onWhole={() => setWhole(true)} />
      </Frame>
    );
  const open = asked.filter(({ known }) => known.open);
  const wanted = open.find(({ check }) => check.id === screen.value.arg) ?? open[0];
  return (
    <Frame title={title} top tabs>
      <h1>
        {title}: {t("check.open", { n: open.length })}
      </h1>
      {asked.length === 0 && <p>{t("check.none")}</p>}
      {MOMENTS.map((moment) => {
        const mine = asked.filter((one) => momentOf(one) === moment);
        const shown = wanted !== undefined && momentOf(wanted) === moment;
        const word = t(momentWord(moment, now.move));
        return mine.length > 0 && <Group key={moment} word={word} asked={mine} shown={shown} />;
      })}
    </Frame>
  );
}

/** Before the first case: one check at a time, those not answered yet before those answered no. */
function Card({ asked, onWhole }: { asked: Asked[]; onWhole: () => void }) {
  const all = asked.filter((one) => momentOf(one) === "before");
  const at = cardUp(all, screen.value.arg);
  if (!at) return null;
  const answered = all.filter(({ known }) => known.mark !== null).length;
  const nth = at.known.mark === null ? answered + 1 : all.indexOf(at) + 1;
  return (
    <>
      <h1>
        {t("brief.title")}: <span class="tab-num">{`${nth}\u00a0/\u00a0${all.length}`}</span>
      </h1>
      <Question key={at.check.id} {...at} done={() => undefined} />
      <Button icon="list" onPress={onWhole} id="all-checks">
        {t("check.all")}
      </Button>
    </>
  );
}

/** One moment of the move; only the one that is up stands open by itself. */
function Group({ word, asked, shown }: { word: string; asked: Asked[]; shown: boolean }) {
  const [chosen, setChosen] = useState<boolean | null>(null);
  const open = asked.filter(({ known }) => known.open).length;
  useEffect(() => setChosen(null), [open === 0]);
  const wide = chosen ?? shown;
  return (
    <section class="stack">
      <h2>
        <button
          type="button"
          class="btn btn-left moment"
          aria-expanded={wide}
          onClick={() => setChosen(!wide)}
        >
          <Icon name={open === 0 ? "check" : "clock"} size={32} />
          <span class="grow">{word}</span>
          <b class="tab-num">{`${asked.length - open} / ${asked.length}`}</b>
        </button>
      </h2>
      {wide && asked.map((one) => <CheckItem key={one.check.id} {...one} />)}
    </section>
  );
}

/** Open: the question and two large answers. Answered well: one line, which a tap opens again. */
function CheckItem({ check, known }: Asked) {
  const [again, setAgain] = useState(false);
  if (known.open || again)
    return <Question check={check} known={known} done={() => setAgain(false)} />;
  return (
    <button type="button" class="item answered" onClick={() => setAgain(true)}>
      <Icon name="check" size={32} />
      <span class="grow">
        {owned(check.text)}
        <Said known={known} />
      </span>
    </button>
  );
}

function Question({ check, known, done }: Asked & { done: () => void }) {
  const [photo, setPhoto] = useState<string | null>(null);
  const [note, setNote] = useState("");
  const here = useRef<HTMLElement>(null);
  // whoever comes from a reason against the release stands before its check
  useEffect(() => {
    if (screen.peek().arg === check.id) here.current?.scrollIntoView({ block: "center" });
  }, [check.id]);
  const lacks = lacking(check, { note, photo });
  const answer = async (ok: boolean) => {
    const words = note.trim();
    const more = { ...(photo ? { photo } : {}), ...(words ? { note: words } : {}) };
    await report({ kind: "answered", check: check.id, ok, ...more });
    done();
  };
  return (
    <section
      ref={here}
      class={known.ok === false ? "card card-hold stack" : "card stack"}
      data-check={known.open ? check.id : undefined}
    >
      <h3 class="check-text">{owned(check.text)}</h3>
      {check.gate === "slope" && vehicle.value && (
        <>
          <p class="tall">{t("check.planned", { what: slopeWord(vehicle.value) })}</p>
          <p class="caution">{t("caution.ramp")}</p>
        </>
      )}
      <Said known={known} />
      {known.photo && <PhotoView photo={known.photo} text={owned(check.text)} />}
      {(check.note || check.photo) && (
        <Field
          id={`note-${check.id}`}
          label={t(check.note ? "check.note" : "check.why_none")}
          value={note}
          onInput={setNote}
        />
      )}
      {check.photo && <PhotoButton taken={photo !== null} onPhoto={setPhoto} />}
      {lacks && <p class="soft">{t(`check.needs_${lacks}`)}</p>}
      <div class="answers">
        <Button tone="main" icon="check" busy={lacks !== null} onPress={() => answer(true)}>
          {t("check.yes")}
        </Button>
        <Button icon="close" pressed={known.ok === false} onPress={() => answer(false)}>
          {t("check.no")}
        </Button>
      </div>
    </section>
  );
}

/** Who answered, when, and what was noted. */
function Said({ known }: { known: CheckState }) {
  const now = useNow(30);
  if (!known.mark) return null;
  const by = t("check.by", { name: known.mark.by, ago: ago(known.mark.at, now) });
  return (
    <span class="soft line">
      {!known.ok && <Icon name="close" />}
      {known.note ? `${known.note} · ${by}` : by}
    </span>
  );
}

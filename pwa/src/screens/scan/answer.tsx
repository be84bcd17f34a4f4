/** The answer to a scan, over the whole glass: own shape, word, colour, sound and buzz each. */
import type { PlaceSheet, VehicleSheet } from "../../core/bundle";
import { computed, effect, signal } from "@preact/signals";
import {
  behindStop,
  bundle,
  lastAnswer,
  leg,
  stopRead,
  vehicle,
  type Answer,
  type Shown,
} from "../../app-model";
import { rowsToOpen } from "../../core/answer";
import { t } from "../../i18n";
import { Doorway } from "../../ui/doorway";
import { AnswerShape } from "../../ui/answer-shape";
import { People, StanceIcon } from "../../ui/figures";
import { Mark, markWord } from "../../ui/mark";
import { isLater } from "../next/later";
import { handsNeeded, peopleNow } from "../shared/hands-needed";
import { caseName, vehicleName, vehicleOf } from "../shared/names";
import { onBoard, placeOf, unloads } from "../shared/sequence";
import { shopNotes } from "../shared/shop-notes";
import { Acts } from "./answer-acts";
import { unplaced } from "../shared/unplaced";
import { ago, owned, sideWord, stanceWord } from "../shared/format";

/** A right answer leaves by itself; one that stops somebody stays until it is understood. */
const GOES_AFTER_MS = 2_500;

const open = signal<Shown | null>(null);
let timer: ReturnType<typeof setTimeout> | undefined;

/** While an answer is on the glass, nothing behind it may be touched. */
export const answering = computed(() => open.value !== null);

const goes = ({ kind }: Answer): boolean => kind === "right" || kind === "not_next";
const passes = ({ answer }: Shown): boolean =>
  goes(answer) && answer.reopens === null && inRed(answer).length === 0;

/** What a right case must not hide: said in red, until it is read. */
function inRed(answer: Answer): string[] {
  if (!goes(answer)) return [];
  const lines: string[] = [];
  const front = answer.reopens === null ? answer.in_front : [];
  if (front.length > 0) lines.push(t("answer.in_front", { rows: front.join(", ") }));
  const open = answer.leaves_open.filter((row) => !isLater(row));
  if (open.length > 0) lines.push(t("answer.leaves_open", { rows: open.join(", ") }));
  return lines;
}

function show(shown: Shown | null): void {
  clearTimeout(timer);
  open.value = shown;
  if (shown && passes(shown))
    timer = setTimeout(() => {
      if (open.peek() === shown) open.value = null;
    }, GOES_AFTER_MS);
}

/** Watches for answers. While a stop is on the screen nothing else is answered or booked. */
export function followAnswers(): void {
  let before = lastAnswer.peek();
  effect(() => {
    const shown = lastAnswer.value;
    if (shown === before || shown === null) return;
    before = shown;
    show(shown);
  });
}

function dismiss(): void {
  show(null);
  stopRead();
}

export function AnswerOverlay() {
  const shown = open.value;
  if (!shown) return null;
  const { answer } = shown;
  return (
    <div
      class={`answer answer-${answer.kind}`}
      role="alertdialog"
      aria-modal="true"
      aria-labelledby="answer-word"
      tabIndex={-1}
      ref={takeFocus}
      data-answer={answer.kind}
    >
      <div class="answer-body">
        {answer.kind === "other_vehicle" ? <Stop answer={answer} /> : <Plain answer={answer} />}
      </div>
      <Acts shown={shown} buried={buried(answer)} passes={passes(shown)} onDismiss={dismiss} />
    </div>
  );
}

/** A reader hears the answer at once; a stable function, so that it is called once per overlay. */
const takeFocus = (overlay: HTMLElement | null) => overlay?.focus();

function Plain({ answer }: { answer: Answer }) {
  return (
    <>
      <AnswerShape kind={answer.kind} size={112} />
      <p class="answer-word" id="answer-word">
        {headline(answer)}
      </p>
      <p class="answer-where">
        <span class="code">{answer.code}</span> {caseName(answer.code)}
      </p>
      {inRed(answer).map((line) => (
        <p key={line} class="answer-red" role="status">
          {line}
        </p>
      ))}
      <Place answer={answer} />
      {answer.kind === "blocked" && answer.checks.length === 0 && <First answer={answer} />}
      {answer.checks.length > 0 && <ChecksFirst ids={answer.checks} />}
      {because(answer).map((line) => (
        <p key={line} class="answer-people">
          {line}
        </p>
      ))}
      {goes(answer) && answer.row !== null && !unloads(answer.move) && <Caution answer={answer} />}
    </>
  );
}

/** The caution stands on the first answer of a vehicle and move; it is on every card of Next. */
const cautioned = new Map<string, Answer>();

function Caution({ answer }: { answer: Answer }) {
  const name = `${answer.vehicle} ${answer.move}`;
  const first = cautioned.get(name) ?? answer;
  cautioned.set(name, first);
  return first === answer ? <p class="caution">{t("caution.planning")}</p> : null;
}

/** What must go first, named and drawn in its place. */
function First({ answer }: { answer: Answer }) {
  const at = vehicle.value;
  const now = leg.value;
  const [first = ""] = answer.first;
  const found = at ? placeOf(at, first, now) : null;
  return (
    <>
      <p class="answer-where" id="first">
        {t(unloads(answer.move) ? "blocked.first_off" : "blocked.first")}
      </p>
      {answer.first.map((code) => (
        <p key={code} class="answer-side">
          <span class="code">{code}</span> {caseName(code)}
        </p>
      ))}
      {at && now && found && (
        <div class="answer-drawn">
          <Doorway
            vehicle={at}
            row={found.row}
            target={first}
            isOn={(other) => onBoard(now, other)}
            label={t("next.place", { row: found.row.number, side: sideWord(found.place.side) })}
          />
        </div>
      )}
    </>
  );
}

/** Nothing moves before chocks, ramp and path are answered for. */
function ChecksFirst({ ids }: { ids: readonly string[] }) {
  const asked = bundle.value?.checks.filter((one) => ids.includes(one.id)) ?? [];
  return (
    <>
      <p class="answer-where">{t("check.first", { n: ids.length })}</p>
      {asked.map(({ id, text }) => (
        <p key={id} class="answer-check">
          {owned(text)}
        </p>
      ))}
    </>
  );
}

function headline(answer: Answer): string {
  const { kind, move } = answer;
  if (goes(answer) && move === "put_away") return t("answer.right_home");
  if (kind === "right" && move === "load_in") return t("answer.right_off");
  if (kind === "already" && unloads(move)) return t("answer.already_off");
  return t(`answer.${kind}`);
}

function because(answer: Answer): string[] {
  const { kind, code, mark, reopens } = answer;
  const lines: string[] = [];
  if (kind === "not_next" && answer.in_front.length === 0)
    lines.push(t(unloads(answer.move) ? "answer.not_next.off" : "answer.not_next.why"));
  if (kind === "already" && mark)
    lines.push(t("answer.already.by", { name: mark.by, ago: ago(mark.at, Date.now()) }));
  if (kind === "stray")
    lines.push(
      unplaced.value.includes(code)
        ? t("answer.stray.no_place")
        : t("answer.stray.why", { home: answer.home || "?" }),
    );
  if (kind === "unknown")
    lines.push(t(misread(answer) ? "scan.bad_check" : "answer.unknown.why", { code }));
  if (goes(answer) && answer.move === "put_away") lines.push(...shopNotes(code));
  if (kind === "damaged") lines.push(t("answer.damaged.why"));
  if (kind === "swapped") lines.push(t("answer.swapped.why", { code: answer.instead ?? "?" }));
  if (answer.stands_on) lines.push(t("answer.stands_on", { name: vehicleName(answer.stands_on) }));
  if (reopens !== null) lines.push(t("answer.row_opens", { row: reopens }));
  if (buried(answer).length > 0)
    lines.push(t("answer.rows_first", { rows: buried(answer).join(", ") }));
  return lines;
}

/** Strapped rows between the door and the row that this case opens again, door first. */
function buried({ reopens, vehicle: id }: Answer): number[] {
  if (reopens === null || leg.value?.vehicle !== id) return [];
  return rowsToOpen(leg.value, reopens).filter((row) => row !== reopens);
}

/** The text looks like one of our codes, but a character is wrong: no case to be added. */
const misread = ({ refused }: Answer): boolean => refused?.kind === "check";

/** Where it goes, as large as the row number on the card. */
function Place({ answer }: { answer: Answer }) {
  if (!goes(answer)) return null;
  if (answer.move === "put_away") return <p class="answer-row">{answer.home || "?"}</p>;
  if (unloads(answer.move) || answer.row === null) return null;
  const at = vehicle.value;
  const found = at ? placeOf(at, answer.code, leg.value) : null;
  return (
    <>
      <p class="answer-row">
        <span>{t("next.row")} </span>
        {answer.row}
      </p>
      {found && <p class="answer-side">{sideWord(found.place.side)}</p>}
      {at && found && (
        <div class="answer-people">
          <span>
            <StanceIcon stance={found.place.stance} turned={found.place.turned} />
            {stanceWord(found.place)}
          </span>
          <span>
            <PeopleDrawn at={at} place={found.place} />
            {peopleNow(at, found.place)}
          </span>
        </div>
      )}
    </>
  );
}

function PeopleDrawn({ at, place }: { at: VehicleSheet; place: PlaceSheet }) {
  const count = handsNeeded(at, place);
  return count === null ? null : <People count={count} lift={place.lift > 0} />;
}

/** The stop: nothing but the vehicle that it belongs to, by mark and name. */
function Stop({ answer }: { answer: Answer }) {
  const other = vehicleOf(answer.due_on);
  return (
    <>
      <AnswerShape kind="other_vehicle" size={132} />
      <p class="answer-word" id="answer-word">
        {t("answer.other_vehicle")}
      </p>
      <p class="answer-where">
        <span class="code">{answer.code}</span> {caseName(answer.code)}
      </p>
      <p class="answer-where">{t("answer.other_vehicle.to")}</p>
      {other ? (
        <p class="answer-mark">
          <Mark mark={other.mark} size={72} />
          <span>
            {other.name}
            <br />
            <small>{t(`mark.${markWord(other.mark)}`)}</small>
          </span>
        </p>
      ) : (
        <p class="answer-mark">{answer.due_on}</p>
      )}
      {behindStop.value.length > 0 && (
        <p class="answer-people" role="status" id="behind-stop">
          {t("answer.behind", { codes: behindStop.value.join(", ") })}
        </p>
      )}
    </>
  );
}

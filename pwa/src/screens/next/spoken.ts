/** Spoken calls in the earbud: what is next, in the words that a caller would shout. */
import { effect } from "@preact/signals";
import { bundle, leg, vehicle, voice } from "../../app-model";
import { language, t } from "../../i18n";
import { say } from "../../ui/feedback";
import { caseName } from "../shared/names";
import { peopleNow } from "../shared/hands-needed";
import { placeOf, unloads } from "../shared/sequence";
import { stepsAhead } from "../shared/steps";
import { sideWord, stanceWord } from "../shared/format";

function callOf(code: string): string {
  const at = vehicle.value;
  const now = leg.value;
  if (!at || !now) return "";
  if (now.move === "put_away")
    return t("say.home", { home: bundle.value?.cases[code]?.home ?? "" });
  if (unloads(now.move)) return t("say.off", { name: caseName(code) });
  const found = placeOf(at, code, now);
  if (!found) return caseName(code);
  return t("say.case", {
    row: found.row.number,
    side: sideWord(found.place.side),
    stance: stanceWord(found.place),
    people: peopleNow(at, found.place),
  });
}

/** Says each new next case once, and again only when it has changed in between. */
export function followCalls(): void {
  let before: string | undefined;
  effect(() => {
    // asked first: without a voice nothing is worked out for it
    if (!voice.value) return;
    const code = stepsAhead.value[0];
    if (code === before) return;
    before = code;
    if (code) say(callOf(code), language.value);
  });
}

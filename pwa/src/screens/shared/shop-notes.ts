/** What the shop has to know of a case that comes home: set aside as damaged, given back. */
import { bundle, state } from "../../app-model";
import { isDamaged } from "../../core/put-away";
import { t } from "../../i18n";

export function shopNotes(code: string): string[] {
  const sheet = bundle.value;
  const night = state.value;
  if (!sheet || !night) return [];
  const owner = sheet.cases[code]?.owner || night.added[code]?.owner;
  const lines: string[] = [];
  if (isDamaged(sheet, night, code))
    lines.push(t("next.aside", { why: night.damaged[code]?.note ?? "" }));
  if (owner) lines.push(t("next.give_back", { owner }));
  return lines;
}

/** What went wrong with the phone itself, in words that say what to do. */
import type { Trouble } from "../app-model";
import { t } from "../i18n";
import { word } from "./words";
import english from "../i18n/en.json";

export function TroubleBar({ trouble }: { trouble: Trouble | null }) {
  if (!trouble) return null;
  const key = `trouble.${trouble.kind}`;
  return (
    <div class="trouble" role="alert">
      <p>{key in english ? word(key) : t("trouble.other")}</p>
      {trouble.detail && <p class="soft">{trouble.detail}</p>}
    </div>
  );
}

/** What went wrong with the phone itself, in words that say what to do. */
import type { Trouble } from "../app-model";
import { t, type Key } from "../i18n";
import english from "../i18n/en.json";

export function TroubleBar({ trouble }: { trouble: Trouble | null }) {
  if (!trouble) return null;
  const key = `trouble.${trouble.kind}`;
  // the server's last word on this phone: how many events it had, how many were unsent
  const emptied = trouble.kind === "came_back_empty";
  const fill = emptied ? { n: trouble.detail.split(" ")[1] ?? 0 } : {};
  return (
    <div class="trouble" role="alert">
      <p>{key in english ? t(key as Key, fill) : t("trouble.other")}</p>
      {!emptied && trouble.detail && <p class="soft">{trouble.detail}</p>}
    </div>
  );
}

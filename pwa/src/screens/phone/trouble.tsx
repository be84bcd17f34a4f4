/** What went wrong with the phone itself, in words that say what to do. */
import type { Trouble } from "../../app-model";
import { t, type Key, isKey } from "../../i18n";

export function TroubleBar({ trouble }: { trouble: Trouble | null }) {
  if (!trouble) return null;
  const key = `trouble.${trouble.kind}`;
  // the server's last word on this phone: how many events it had, how many were unsent
  const emptied = trouble.kind === "came_back_empty";
  const fill = emptied ? { n: trouble.detail.split(" ")[1] ?? 0 } : {};
  const own = isKey(key);
  return (
    <div class="trouble" role="alert">
      <p>{own ? t(key as Key, fill) : t("trouble.other")}</p>
      {!own && trouble.detail && (
        <p class="soft" lang="en">
          {trouble.detail}
        </p>
      )}
    </div>
  );
}

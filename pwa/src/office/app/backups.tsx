/** When the last good backup was: made by the server each day, and restored on trial. */
import { useEffect, useState } from "preact/hooks";
import { call, put, save } from "../shared/api";
import { Small } from "../shared/controls";
import { done, quietly, tried } from "../shared/state";
import { moment } from "../shared/units";

interface Made {
  at: number;
  file: string;
  rows: number;
  bytes: number;
  trouble: string;
}
interface Backups {
  last: Made | null;
  good: Made | null;
}
const OLD_MS = 2 * 24 * 3_600_000;

export function BackupPart() {
  const [seen, setSeen] = useState<Backups | null>(null);
  useEffect(() => void quietly(() => call<Backups>("GET", "/backup")).then(setSeen), []);
  if (!seen) return null;
  const { last, good } = seen;
  const old = good !== null && Date.now() - good.at > OLD_MS;
  return (
    <section class="card stack" id="backups">
      <h2>Backups</h2>
      {good && (
        <p class={old ? "hold" : undefined}>
          Last good one: {moment(good.at)}, {good.rows} rows, {(good.bytes / 1e6).toFixed(1)} MB. It
          was restored on trial and was the same.{old && " That is more than two days ago."}
        </p>
      )}
      {last && last.trouble !== "" && (
        <p class="hold" role="status">
          The last one, {moment(last.at)}: {last.trouble}
        </p>
      )}
      {!last && (
        <p class="soft">
          This server makes none by itself. Start it with --backups and a folder, best on another
          disk, and with --backup-passphrase-file to seal them.
        </p>
      )}
      <Everything />
    </section>
  );
}

/** Everything as one zip, and back into a shop that has nothing yet. */
function Everything() {
  const bring = async (file: File | undefined) => {
    if (!file) return;
    const got = await tried(() =>
      put<{ cases: number; shows: number }>("/everything", file, "application/zip"),
    );
    if (got)
      done.value = `${got.cases} cases and ${got.shows} shows are back. Load the page again.`;
  };
  return (
    <div class="line line-wrap">
      <Small
        id="take-everything"
        onPress={() => void tried(() => save("/everything.zip", "everything.zip"))}
      >
        Take everything (zip)
      </Small>
      <label class="field field-tight">
        Bring a zip back into an empty shop
        <input
          id="bring-everything"
          type="file"
          accept=".zip"
          onChange={(event) => void bring(event.currentTarget.files?.[0])}
        />
      </label>
    </div>
  );
}

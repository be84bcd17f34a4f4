/** When the last good backup was: made by the server each day, and restored on trial. */
import { useEffect, useState } from "preact/hooks";
import { call } from "../shared/api";
import { quietly } from "../shared/state";
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
    </section>
  );
}

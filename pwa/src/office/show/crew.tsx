/** How the crew gets in: join code, QR, the chief's PIN. */
import { useEffect, useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import type { Join, Show } from "../shared/api-types";
import { call } from "../shared/api";
import { done, tried } from "../shared/state";
import { moment } from "../shared/units";

export function CrewPart({ show }: { show: Show }) {
  const [join, setJoin] = useState<Join | null>(null);
  const [pin, setPin] = useState<string | null>(null);
  const base = `/shows/${show.id}`;
  const load = async () => setJoin(await tried(() => call<Join>("GET", `${base}/join`)));
  useEffect(() => void load(), [show.id]);
  if (join === null) return <p class="soft">One moment.</p>;
  const renew = async () => {
    if (!confirm("Make a new join code? Sheets with the one before no longer let anybody in."))
      return;
    const next = await tried(() => call<Join>("POST", `${base}/join/renew`));
    if (next) setJoin(next);
    if (next) done.value = "The code before it no longer works. Who is in stays in.";
  };
  const newPin = async () => {
    if (join.pin_set && !confirm("Set a new PIN? The one that the chief has ends.")) return;
    const got = await tried(() => call<{ pin: string }>("POST", `${base}/pin`));
    if (got) setPin(got.pin);
    await load();
  };
  const out = async () => {
    if (!confirm("Sign every phone out of this show?")) return;
    if (await tried(() => call("POST", `${base}/out`))) done.value = "Everyone is signed out.";
  };
  return (
    <div class="halves">
      <JoinSheet show={show} join={join} />
      <section class="card stack" aria-label="Who may come in">
        <h2>The chief's PIN</h2>
        <Pin join={join} fresh={pin} />
        <Button icon="lock" id="new-pin" onPress={() => void newPin()}>
          {join.pin_set ? "Set a new PIN" : "Set a PIN"}
        </Button>
        <h2>Join code</h2>
        <Button icon="swap" onPress={() => void renew()}>
          New join code
        </Button>
        <Button icon="note" onPress={() => print()}>
          Print the join sheet
        </Button>
        <p class="soft">
          A phone cannot open the address? See{" "}
          <a id="host-page" href="/host" target="_blank" rel="noopener">
            how phones reach this server
          </a>
          .
        </p>
        <Button icon="out" onPress={() => void out()}>
          Sign everyone out
        </Button>
      </section>
    </div>
  );
}

/** The sheet that hangs at the dock: the code as QR, as letters and as an address. */
function JoinSheet({ show, join }: { show: Show; join: Join }) {
  return (
    <section class="card stack print-sheet" aria-label="Join">
      <h2>Join: {show.name}</h2>
      {join.qr_svg ? (
        <div
          class="qr"
          role="img"
          aria-label="Join code as QR"
          dangerouslySetInnerHTML={{ __html: join.qr_svg }}
        />
      ) : (
        <p class="note">Nobody can join: there is no code.</p>
      )}
      {join.code && <p class="huge-code">{join.code.replace(/(.{4})(?=.)/g, "$1-")}</p>}
      {join.url && <p class="soft wrap">{join.url}</p>}
      {join.code && (
        <p class="soft">Good until {moment(join.ends_at)}, or until the show closes.</p>
      )}
    </section>
  );
}

/** The PIN just set, which is shown once, or whether there is one. */
function Pin({ join, fresh }: { join: Join; fresh: string | null }) {
  if (fresh === null)
    return (
      <p class="soft">
        {join.pin_set ? "A PIN is set; it is not kept readable." : "No PIN is set yet."}
      </p>
    );
  return (
    <>
      <p class="huge-code" id="pin">
        {fresh}
      </p>
      <p class="note">It is shown this once. Tell it to the chief.</p>
    </>
  );
}

/** Who else has this page open, and whether somebody changed it since it was read. */
import { useEffect, useState } from "preact/hooks";
import { call } from "../shared/api";
import { opened } from "../shared/changes";
import { Small } from "../shared/controls";
import { path, To, unsaved } from "../shared/router";
import { quietly } from "../shared/state";
import { moment } from "../shared/units";

interface Presence {
  others: { name: string; at: number }[];
  version: number;
  by: string;
  at: number;
}
interface Here {
  kind: "shop" | "case" | "vehicle" | "show";
  id: string;
}
const EVERY_MS = 15_000;

/** Which document a page is about, or null. */
function hereOf(at: string): Here | null {
  const [room = "", one = ""] = at.split("/").map(decodeURIComponent);
  if (room === "shop") return { kind: "shop", id: "1" };
  if (one === "" || one === "new" || one === "import") return null;
  if (room === "fleet") return { kind: "case", id: one };
  if (room === "vehicles") return { kind: "vehicle", id: one };
  return room === "shows" ? { kind: "show", id: one } : null;
}

export function Others() {
  const here = hereOf(path.value);
  const [heard, setHeard] = useState<Presence | null>(null);
  const key = here ? `${here.kind}/${here.id}` : "";
  useEffect(() => {
    setHeard(null);
    if (!here) return;
    const say = () =>
      void quietly(() => call<Presence>("POST", "/presence", here)).then((got) => setHeard(got));
    say();
    const timer = setInterval(say, EVERY_MS);
    return () => {
      clearInterval(timer);
      void quietly(() => call("POST", "/presence", { ...here, leaves: true }));
    };
  }, [key]);
  if (!here) return null;
  const names = [...new Set((heard?.others ?? []).map((each) => each.name))];
  const seen = Number.parseInt(opened.value?.version.replaceAll('"', "") || "0", 10);
  const newer = heard !== null && seen > 0 && heard.version > seen;
  return (
    <div class="line others">
      <p class="soft grow" role="status" id="others">
        {names.length > 0 &&
          `${names.join(", ")} ${names.length === 1 ? "has" : "have"} this open too. `}
        {newer && `${heard.by || "A command on the server"} changed it, ${moment(heard.at)}. `}
      </p>
      {newer && !unsaved.value && <Small onPress={() => location.reload()}>Show it as it is</Small>}
      <To to={`history/${key}`} class="btn btn-small">
        History
      </To>
    </div>
  );
}

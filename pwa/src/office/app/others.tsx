/** Who else has this page open, and whether somebody changed it since it was read. */
import { useEffect, useState } from "preact/hooks";
import { call } from "../shared/api";
import { opened } from "../shared/changes";
import { Small } from "../shared/controls";
import { hereOf } from "../shared/here";
import { path, unsaved } from "../shared/router";
import { quietly } from "../shared/state";
import { moment } from "../shared/units";

interface Presence {
  others: { name: string; at: number }[];
  version: number;
  by: string;
  at: number;
}
const EVERY_MS = 15_000;

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
  if (!here || heard === null) return null;
  const names = [...new Set(heard.others.map((each) => each.name))];
  const seen = Number.parseInt(opened.value?.version.replaceAll('"', "") || "0", 10);
  const newer = seen > 0 && heard.version > seen;
  if (names.length === 0 && !newer) return null;
  return (
    <div class="line others">
      <p class="soft grow" role="status" id="others">
        {names.length > 0 &&
          `${names.join(", ")} ${names.length === 1 ? "has" : "have"} this open too. `}
        {newer && `${heard.by || "A command on the server"} changed it, ${moment(heard.at)}. `}
      </p>
      {newer && !unsaved.value && <Small onPress={() => location.reload()}>Show it as it is</Small>}
    </div>
  );
}

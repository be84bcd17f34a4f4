/** The first evening of a new shop, step by step; each step ticks itself off. */
import { useEffect, useState } from "preact/hooks";
import { Icon } from "../../ui/icon";
import { call } from "../shared/api";
import { Small } from "../shared/controls";
import { To } from "../shared/router";
import { quietly, shows } from "../shared/state";

interface Evening {
  fleet: boolean;
  vehicle: boolean;
  show: string;
  planned: boolean;
  issued: boolean;
  joined: boolean;
}
const HIDDEN = "office-first-evening-hidden";

export function FirstEvening() {
  const [now, setNow] = useState<Evening | null>(null);
  const [hidden, setHidden] = useState(localStorage.getItem(HIDDEN) === "1");
  const load = () => void quietly(() => call<Evening>("GET", "/first-evening")).then(setNow);
  useEffect(load, [shows.value]);
  useEffect(() => {
    if (hidden || now?.joined) return;
    const timer = setInterval(load, 10_000);
    return () => clearInterval(timer);
  }, [hidden, now?.joined]);
  if (now === null || hidden || now.joined) return null;
  const show = now.show ? `shows/${now.show}` : "shows/new";
  const steps: readonly (readonly [boolean, string, string])[] = [
    [now.fleet, "Import your case list", "fleet/list"],
    [now.vehicle, "Enter a vehicle", "vehicles/new"],
    [now.show !== "", "Make a show", "shows/new"],
    [now.planned, "Plan it", `${show}/plan`],
    [now.issued, "Issue the plan to the crew", `${show}/plan`],
    [now.joined, "Let a phone join", `${show}/crew`],
  ];
  const next = steps.findIndex(([done]) => !done);
  return (
    <section class="card stack" id="first-evening" aria-label="First evening">
      <div class="line line-wrap">
        <h2 class="grow">Your first evening</h2>
        <Small
          onPress={() => {
            localStorage.setItem(HIDDEN, "1");
            setHidden(true);
          }}
        >
          Hide this
        </Small>
      </div>
      <ol class="stack">
        {steps.map(([done, words, to], place) => (
          <li key={words} class="line">
            <Icon name={done ? "check" : "open"} size={18} />
            {done ? (
              <span class="soft">
                {words}
                <span class="unseen">: done</span>
              </span>
            ) : (
              <To to={to}>{place === next ? <b>{words}</b> : words}</To>
            )}
          </li>
        ))}
      </ol>
    </section>
  );
}

/** The office's frame: the rail of its rooms, and the room that is open. */
import { useEffect } from "preact/hooks";
import { Icon, type IconName } from "../../ui/icon";
import { Enter } from "./sign-in";
import { clash } from "../shared/changes";
import { ConflictPage } from "../shared/conflict";
import { Done, Trouble } from "../shared/controls";
import { Others } from "./others";
import { Rooms } from "./routes";
import { path, To } from "../shared/router";
import { call } from "../shared/api";
import { name, shop, who } from "../shared/state";
import { sunlight, turnPalette } from "../shared/theme";
import "../../styles/index.css";
import "../office.css";
import "../lists.css";
import "../plan.css";
import "../drawing.css";
import "../edit.css";
import "../photos.css";

const RAIL: readonly (readonly [string, string, IconName])[] = [
  ["", "Shows", "note"],
  ["fleet", "Fleet", "open"],
  ["vehicles", "Vehicles", "truck"],
  ["fit", "Own and hire", "rows"],
  ["reports", "Reports", "list"],
  ["shop", "Shop", "home"],
];

export function Office() {
  if (who.value === "asking") return <p class="gate soft">One moment.</p>;
  if (who.value === "nobody") return <Enter />;
  return <Frame />;
}

function Frame() {
  const room = path.value.split("/")[0] ?? "";
  useEffect(() => {
    document.querySelector<HTMLElement>("main h1")?.focus({ preventScroll: true });
  }, [path.value]);
  const here = (to: string) => (to === "" ? room === "" || room === "shows" : room === to);
  return (
    <div class="office">
      <a class="skip" href="#room">
        To the work
      </a>
      <nav class="rail" aria-label="Office">
        <p class="rail-name">{shop.value.name || "Rowcall"}</p>
        <ul>
          {RAIL.map(([to, word, icon]) => (
            <li key={to}>
              <To to={to} class="rail-to" current={here(to)}>
                <Icon name={icon} />
                <span>{word}</span>
              </To>
            </li>
          ))}
        </ul>
        <div class="rail-end">
          <button type="button" class="rail-to" onClick={turnPalette}>
            <Icon name={sunlight.value ? "moon" : "sun"} />
            <span>{sunlight.value ? "Night" : "Sunlight"}</span>
          </button>
          <To to="account" class="rail-to" current={here("account")}>
            <Icon name="person" />
            <span>Account</span>
          </To>
          <button type="button" class="rail-to" onClick={() => void leave()}>
            <Icon name="out" />
            <span>Sign out, {name.value}</span>
          </button>
        </div>
      </nav>
      <main id="room" class="room">
        <Trouble />
        <Done />
        <ConflictPage />
        <div class="stack" hidden={clash.value !== null}>
          <Others />
          <Rooms />
        </div>
      </main>
    </div>
  );
}

async function leave(): Promise<void> {
  await call("DELETE", "/session").catch(() => null);
  location.assign("/office");
}

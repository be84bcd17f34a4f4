/** Every show, newest first. */
import { signal } from "@preact/signals";
import { Icon } from "../../ui/icon";
import { Mark } from "../../ui/mark";
import { Button } from "../../ui/parts";
import type { ShowLine } from "../shared/api-types";
import { save } from "../shared/api";
import { Demo } from "./demo";
import { FirstEvening } from "./first-evening";
import { Empty, Head } from "../shared/controls";
import { go, To } from "../shared/router";
import { byId, shows, tried } from "../shared/state";
import { day } from "../shared/units";

const words = signal("");
const PAGE = 60;
const shown = signal(PAGE);

export function Shows() {
  const all = shows.value;
  if (all === null) return <p class="soft">One moment.</p>;
  const wanted = words.value.toLowerCase();
  const found = all.filter((each) => `${each.name} ${each.date}`.toLowerCase().includes(wanted));
  return (
    <>
      <Head title="Shows" sub={`${all.length} in all`}>
        <Button icon="out" onPress={() => void tried(() => save("/shows.ics", "shows.ics"))}>
          Calendar
        </Button>
        <Button icon="plus" tone="ask" id="new-show" onPress={() => go("shows/new")}>
          New show
        </Button>
      </Head>
      {all.length > 8 && (
        <div class="field field-tight">
          <label for="show-search">Search</label>
          <input
            id="show-search"
            type="search"
            value={words.value}
            onInput={(event) => (words.value = event.currentTarget.value)}
          />
        </div>
      )}
      <FirstEvening />
      <Demo />
      {all.length === 0 && (
        <Empty>
          <p>No show is here yet.</p>
          <p class="soft">
            First your <To to="fleet/list">cases</To> and a <To to="vehicles">vehicle</To>, then the
            show, its plan, and the crew's phones.
          </p>
        </Empty>
      )}
      <ul class="tiles">
        {found.slice(0, shown.value).map((each) => (
          <li key={each.id}>
            <Line each={each} />
          </li>
        ))}
      </ul>
      {found.length > shown.value && (
        <Button onPress={() => (shown.value += PAGE)}>
          {`Show ${Math.min(PAGE, found.length - shown.value)} more`}
        </Button>
      )}
    </>
  );
}

function Line({ each }: { each: ShowLine }) {
  const state = each.closed
    ? (["lock", "closed"] as const)
    : each.issued
      ? (["hand", `revision ${each.issued} is in the crew's hands`] as const)
      : (["wait", "no plan issued yet"] as const);
  return (
    <To to={`shows/${each.id}`} class={each.closed ? "card show-tile" : "card card-ask show-tile"}>
      <span class="show-date tall">{day(each.date) || "no date"}</span>
      <b class="tall show-name">{each.name}</b>
      <span class="soft">{each.cases} cases</span>
      <span class="line line-wrap">
        {each.vehicles.map((id) => (
          <span class="mini" key={id}>
            <Mark mark={byId.value.get(id)?.mark ?? 0} size={18} />
            {byId.value.get(id)?.name || id}
          </span>
        ))}
      </span>
      <span class="mini">
        <Icon name={state[0]} size={18} />
        {state[1]}
      </span>
    </To>
  );
}

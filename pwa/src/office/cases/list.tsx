/** The fleet: searched, filtered and sorted as it is typed; picked cases are changed together. */
import { computed, signal } from "@preact/signals";
import { Button } from "../../ui/parts";
import { EmptyFleet } from "./empty-fleet";
import { BulkEdit } from "./bulk-edit";
import { UndoBulk } from "./bulk-undo";
import { LabelPrint } from "./label-print";
import { LabelProof } from "./label-proof";
import { isOld } from "./notes";
import { SmallPhoto } from "./photos";
import { CaseForm } from "./form";
import { COLUMNS, type Column, matches, sorted } from "./sort";
import { LongList } from "../shared/virtual-list";
import type { FleetCase } from "../shared/api-types";
import { save } from "../shared/api";
import { Head, Pick, Small } from "../shared/controls";
import { go, To } from "../shared/router";
import { cases, departments, photos, tried } from "../shared/state";
import { SumsTable, sumWords } from "../shared/totals-table";
import { bareLength, bareMass, lengthUnit, massUnit } from "../shared/units";

const words = signal("");
const department = signal("");
const state = signal("");
const weighed = signal("");
const order = signal<{ by: Column; down: boolean }>({ by: "code", down: false });
const picked = signal<ReadonlySet<string>>(new Set());
const bulk = signal(false);

const found = computed(() =>
  sorted(
    (cases.value ?? []).filter(
      (each) =>
        (department.value === "" || each.department === department.value) &&
        (state.value === "" || each.state === state.value) &&
        (weighed.value === "" || weighed.value === trust(each)) &&
        matches(each, words.value),
    ),
    order.value.by,
    order.value.down,
  ),
);
/** How far the mass of a case can be trusted. */
function trust(each: FleetCase): "none" | "old" | "undated" | "dated" {
  if (each.mass_g === 0) return "none";
  if (isOld(each.notes.weighed_on)) return "old";
  return each.notes.weighed_on === "" ? "undated" : "dated";
}

/** Whether a column of photos says anything. */
const pictured = computed(() => Object.keys(photos.value).length > 0);
const chosen = computed(() => (cases.value ?? []).filter((each) => picked.value.has(each.code)));

const STATES = [
  ["good", "Good"],
  ["damaged", "Damaged"],
  ["repair", "At repair"],
  ["retired", "Retired"],
] as const;

const WEIGHED = [
  ["", "Every mass"],
  ["none", "Not weighed"],
  ["old", "Weighed long ago"],
  ["undated", "Day not known"],
] as const;

export function Fleet({ open }: { open: string }) {
  const all = cases.value;
  if (all === null) return <p class="soft">One moment.</p>;
  if (open === "new") return <CaseForm code={null} />;
  if (open !== "") return <CaseForm key={open} code={open} />;
  return (
    <>
      <Head title="Fleet" sub={`${all.length} cases`}>
        <Button icon="plus" onPress={() => go("fleet/new")}>
          New case
        </Button>
        <Button icon="list" id="import-list" onPress={() => go("fleet/list")}>
          Import a list
        </Button>
        <Button icon="out" onPress={() => void tried(() => save("/cases.csv", "fleet.csv"))}>
          Export as CSV
        </Button>
      </Head>
      {all.length === 0 ? <EmptyFleet /> : <Listed />}
    </>
  );
}

function Listed() {
  const rows = found.value;
  const pictures = pictured.value;
  return (
    <>
      <div class="sieve">
        <div class="field field-tight grow">
          <label for="fleet-search" class="unseen">
            Search
          </label>
          <input
            id="fleet-search"
            type="search"
            placeholder="Code, name, home, owner"
            value={words.value}
            onInput={(event) => (words.value = event.currentTarget.value)}
          />
        </div>
        <Pick
          id="fleet-department"
          label="Department"
          quiet
          value={department.value}
          options={[["", "Every department"], ...departments.value.map((d) => [d, d] as const)]}
          onChange={(value) => (department.value = value)}
        />
        <Pick
          id="fleet-state"
          label="State"
          quiet
          value={state.value}
          options={[["", "Every state"], ...STATES]}
          onChange={(value) => (state.value = value)}
        />
        <Pick
          id="fleet-weighed"
          label="Weighed"
          quiet
          value={weighed.value}
          options={WEIGHED}
          onChange={(value) => (weighed.value = value)}
        />
        <p class="soft" role="status">
          {rows.length} shown
        </p>
        <p class="soft" id="fleet-sums">
          {sumWords(rows)}
        </p>
      </div>
      <UndoBulk />
      <Picked />
      <LongList
        label="Cases"
        columns={`40px ${pictures ? "44px " : ""}7em minmax(6.4em, 2fr) minmax(6.8em, 1fr) 3.6em 9em 5.6em 5.8em`}
        heads={[
          <All key="all" />,
          ...(pictures
            ? [
                <span key="photo" class="unseen">
                  Photo
                </span>,
              ]
            : []),
          ...COLUMNS.map((column) => <HeadCell key={column} by={column} />),
        ]}
        items={rows}
        keyOf={(each) => each.code}
        row={(each) => <Cells each={each} />}
      />
      {chosen.value.length > 0 ? (
        <SumsTable many={chosen.value} of="of what is picked" />
      ) : (
        <SumsTable many={rows} of="of what is shown" />
      )}
    </>
  );
}

function All() {
  const rows = found.value;
  const count = rows.filter((each) => picked.value.has(each.code)).length;
  return (
    <input
      type="checkbox"
      class="box"
      aria-label="Pick all that are shown"
      checked={count > 0 && count === rows.length}
      onChange={(event) => {
        const next = new Set(picked.value);
        for (const each of rows)
          if (event.currentTarget.checked) next.add(each.code);
          else next.delete(each.code);
        picked.value = next;
      }}
    />
  );
}

const HEADS = (): Record<Column, string> => ({
  code: "Code",
  name: "Name",
  department: "Department",
  home: "Home",
  size: `Size, ${lengthUnit()}`,
  mass_g: `Mass, ${massUnit()}`,
  state: "State",
});

function HeadCell({ by }: { by: Column }) {
  const now = order.value;
  const mine = now.by === by;
  return (
    <button
      type="button"
      class="sort"
      aria-label={`Sort by ${HEADS()[by]}${mine ? (now.down ? ", now downwards" : ", now upwards") : ""}`}
      onClick={() => (order.value = { by, down: mine && !now.down })}
    >
      {HEADS()[by]}
      {mine && <i class={now.down ? "wedge wedge-down" : "wedge"} />}
    </button>
  );
}

function Cells({ each }: { each: FleetCase }) {
  const on = picked.value.has(each.code);
  return (
    <>
      <span role="cell">
        <input
          type="checkbox"
          class="box"
          aria-label={`Pick ${each.code}`}
          checked={on}
          onChange={() => {
            const next = new Set(picked.value);
            if (!next.delete(each.code)) next.add(each.code);
            picked.value = next;
          }}
        />
      </span>
      {pictured.value && (
        <span role="cell">
          <SmallPhoto code={each.code} />
        </span>
      )}
      <span role="cell">
        <To to={`fleet/${encodeURIComponent(each.code)}`} class="code link">
          {each.code}
        </To>
      </span>
      <span role="cell">{each.name}</span>
      <span role="cell">{each.department}</span>
      <span role="cell">{each.home}</span>
      <span role="cell" class="tab-num">
        {[each.length_um, each.width_um, each.height_um].map(bareLength).join(" × ")}
      </span>
      <span role="cell" class={each.mass_g ? "tab-num end" : "tab-num end lacks"}>
        {each.mass_g ? bareMass(each.mass_g) : "not weighed"}
        {each.mass_g > 0 && isOld(each.notes.weighed_on) && <em class="bad"> old</em>}
      </span>
      <span role="cell" class={`state state-${each.state}`}>
        {STATES.find(([key]) => key === each.state)?.[1]}
        {each.owner !== "" && <em title={`belongs to ${each.owner}`}>hired in</em>}
      </span>
    </>
  );
}

/** What can be done with the picked cases. */
function Picked() {
  const many = chosen.value;
  if (many.length === 0) return null;
  const codes = many.map((each) => each.code);
  return (
    <section class="picked card" aria-label="Picked cases">
      <p>
        <b>
          {many.length} picked <span class="soft">{sumWords(many)}</span>
        </b>
      </p>
      <div class="line line-wrap">
        <LabelPrint codes={codes} />
        <Small id="bulk" pressed={bulk.value} onPress={() => (bulk.value = !bulk.value)}>
          Change together
        </Small>
        <Small onPress={() => (picked.value = new Set())}>Pick none</Small>
      </div>
      <LabelProof />
      {bulk.value && <BulkEdit many={many} onDone={() => (bulk.value = false)} />}
    </section>
  );
}

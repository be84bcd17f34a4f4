/** One case: sides, mass, how it may stand, what its lid carries, whose it is. */
import { DeleteButton } from "../shared/delete-button";
import { useMemo, useRef, useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import { CasePhotos } from "./photos";
import { CaseStory } from "./history";
import { Text } from "../shared/text-field";
import { NotesPart } from "./notes";
import { CASE_COLUMNS, type CaseColumn } from "../shared/case-columns";
import { CaseField, newCase } from "./fields";
import type { FleetCase } from "../shared/api-types";
import { call } from "../shared/api";
import { keepChanges, type Opened } from "../shared/changes";
import { Fresh } from "../shared/fresh";
import { offers } from "./next-code";
import { Empty, Head, Small } from "../shared/controls";
import { go, To, unsaved } from "../shared/router";
import { byCode, cases, departments, done, loadCases, shop, tried } from "../shared/state";

const STANDING = new Set(["stances", "flag", "mass", "codes"]);
/** Where a column stands in the form, by its kind. */
const SECTIONS: readonly (readonly [string, (column: CaseColumn) => boolean])[] = [
  ["What it is", ({ kind }) => kind === "text" || kind === "choice"],
  ["Sides and weight", ({ kind, field }) => kind === "length" || field === "mass_g"],
  ["How it stands", ({ kind, field }) => STANDING.has(kind) && field !== "mass_g"],
];
const OF_CASE = CASE_COLUMNS.filter((column) => column.part === "case" && column.kind !== "code");

export function CaseForm({ code }: { code: string | null }) {
  if (code === null) return <Form seen={null} />;
  if (!byCode.value.has(code)) return <Empty>There is no case {code}.</Empty>;
  return (
    <Fresh<FleetCase> key={code} path={`/cases/${encodeURIComponent(code)}`}>
      {(seen) => <Form seen={seen} />}
    </Fresh>
  );
}

/** Add a new case, or change what was changed of one that is there. */
const store = (seen: Opened<FleetCase> | null, one: FleetCase): Promise<FleetCase | null> =>
  seen === null
    ? call<FleetCase>("POST", "/cases", one)
    : keepChanges<FleetCase>(`/cases/${encodeURIComponent(seen.document.code)}`, seen, one);

function Form({ seen }: { seen: Opened<FleetCase> | null }) {
  const found = seen?.document ?? newCase();
  const code = seen?.document.code ?? null;
  const [one, setOne] = useState(found);
  const set = (change: Partial<FleetCase>) => {
    unsaved.value = true;
    setOne((old) => ({ ...old, ...change }));
  };
  const form = useRef<HTMLFormElement>(null);
  const keep = async () => {
    if (!form.current?.reportValidity()) return;
    if (!(await tried(() => store(seen, one)))) return;
    unsaved.value = false;
    await loadCases();
    go(`fleet/${encodeURIComponent(one.code)}`);
    done.value = `${one.code} is kept.`;
  };
  return (
    <>
      <Head title={code ?? "New case"} sub={code === null ? "A code is for life." : found.name}>
        <To to="fleet" class="btn btn-small">
          Fleet
        </To>
      </Head>
      <form
        ref={form}
        class="stack"
        onSubmit={(event) => {
          event.preventDefault();
          void keep();
        }}
      >
        {code === null && <Code one={one} set={set} />}
        {SECTIONS.map(([title, holds]) => (
          <Section key={title} title={title} columns={OF_CASE.filter(holds)} one={one} set={set} />
        ))}
        <NotesPart one={one} set={set} />
        <div class="acts-line">
          <Button id="keep" tone="main" onPress={() => void keep()}>
            Keep
          </Button>
          {code !== null && (
            <DeleteButton
              id="delete-case"
              what={code}
              path={`/cases/${encodeURIComponent(code)}`}
              load={loadCases}
              back="fleet"
            />
          )}
        </div>
      </form>
      {code !== null && <CasePhotos code={code} />}
      {code !== null && <CaseStory code={code} />}
    </>
  );
}

export interface PartProps {
  one: FleetCase;
  set: (change: Partial<FleetCase>) => void;
}

function Code({ one, set }: PartProps) {
  return (
    <fieldset class="card form">
      <legend>Code</legend>
      <Text
        id="case-code"
        label="Code"
        most={60}
        needed
        value={one.code}
        onChange={(code) => set({ code: code.trim().toUpperCase() })}
        hint="Department, number and check character, such as PW-031-7."
      />
      {shop.value.numbering === "" && <Offers one={one} set={set} />}
    </fieldset>
  );
}

function Section({
  title,
  columns,
  one,
  set,
}: PartProps & { title: string; columns: readonly CaseColumn[] }) {
  const field = (column: CaseColumn) => (
    <CaseField
      key={column.field}
      column={column}
      value={one[column.field as keyof FleetCase] as never}
      onChange={(value) => set({ [column.field]: value })}
      {...(column.field === "department" ? { list: departments.value } : {})}
    />
  );
  const ticks = columns.filter(({ kind }) => kind === "stances" || kind === "flag");
  return (
    <fieldset class="card form">
      <legend>{title}</legend>
      {ticks.length > 0 && <div class="ticks">{ticks.map(field)}</div>}
      {columns.filter((column) => !ticks.includes(column)).map(field)}
    </fieldset>
  );
}

/** Nobody works out a check character: free codes are offered, and the department that goes with them. */
function Offers({ one, set }: PartProps) {
  const all = cases.value ?? [];
  const found = useMemo(
    () =>
      offers(
        one.code,
        all.map((each) => each.code),
      ),
    [all, one.code],
  );
  if (found.length === 0) return null;
  const take = (code: string) => {
    const like = all.find((each) => each.code.startsWith(code.slice(0, code.indexOf("-") + 1)));
    set({ code, department: one.department || (like?.department ?? "") });
  };
  return (
    <div class="field field-tight wide" role="group" aria-label="Free codes">
      <span>Free codes</span>
      <div class="acts-line">
        {found.map((code) => (
          <Small key={code} label={`Take the code ${code}`} onPress={() => take(code)}>
            {code}
          </Small>
        ))}
      </div>
    </div>
  );
}

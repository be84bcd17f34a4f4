/** The chosen case or row as a form: the same moves by buttons, and any move by its name. */
import { useState } from "preact/hooks";
import { act, chosen, chosenRow, draft, floorOf, isPinned, spotOf, turnPin } from "./draft";
import type { RowSheet, VehicleSheet } from "../../core/bundle";
import type { Show } from "../shared/api-types";
import { push, takeOut, turn, type Way } from "./edit-commands";
import { Pick, Small } from "../shared/controls";
import { byCode } from "../shared/state";
import { length, mass } from "../shared/units";

const WAYS: readonly (readonly [Way, string])[] = [
  ["bulkhead", "To the bulkhead"],
  ["door", "To the door"],
  ["driver", "To the driver side"],
  ["kerb", "To the kerb side"],
];

export function EditPanel({ show }: { show: Show }) {
  const now = chosen.value;
  const code = now && "code" in now ? now.code : "";
  const one = byCode.value.get(code);
  const spot = code ? spotOf(code) : null;
  const codes = show.cases.map((each) => each.code).sort();
  return (
    <section class="card stack" aria-label="Move">
      <Pick
        id="edit-case"
        label="Case"
        value={code}
        options={[["", now ? "a whole row" : "none chosen"], ...codes.map((c) => [c, c] as const)]}
        onChange={(next) => (chosen.value = next ? { code: next } : null)}
      />
      {now && "row" in now && (
        <p>
          Row {now.row} of {now.vehicle}
        </p>
      )}
      {one && (
        <p class="soft">
          {one.name}, {length(one.length_um)} × {length(one.width_um)},{" "}
          {one.mass_g ? mass(one.mass_g) : "not weighed"}
          {spot
            ? `: row ${spot.row.number} of ${spot.sheet.id}${spot.place.on.length ? `, on ${spot.place.on.join(" and ")}` : ""}`
            : ": not in the plan"}
        </p>
      )}
      {now && (
        <div class="pad-keys" role="group" aria-label="Move by one">
          {WAYS.map(([way, word]) => (
            <Small key={way} id={`to-${way}`} onPress={() => void push(way)}>
              {word}
            </Small>
          ))}
          <PinRow />
          {code !== "" && (
            <>
              <Small id="turn" onPress={() => void turn()}>
                Turn
              </Small>
              <Small id="take-out" onPress={() => void takeOut()}>
                Take out
              </Small>
            </>
          )}
        </div>
      )}
      {code !== "" && (
        <MoveForm key={`${code} ${spot?.sheet.id} ${spot?.row.number}`} code={code} />
      )}
    </section>
  );
}

function PinRow() {
  const row = chosenRow();
  if (!row) return null;
  return (
    <Small id="pin-row" pressed={isPinned(row)} onPress={() => turnPin(row)}>
      Pin row {row.number}
    </Small>
  );
}

type Choice = readonly [string, string];

/** Where a case can go in a row: at the wall, beside a floor case, on a lid. */
function placesIn(
  sheet: VehicleSheet | undefined,
  row: RowSheet | undefined,
  code: string,
): Choice[] {
  // Places count from the left wall, seen from the door; which wall that is, the vehicle says.
  const left = sheet?.driver_side !== "right";
  const [first, second] = left ? ["driver side", "kerb side"] : ["kerb side", "driver side"];
  const floor = row ? floorOf(row).filter((each) => each.code !== code) : [];
  const lids = (row?.places ?? []).filter((each) => each.code !== code);
  return [
    ["0", `on the floor, at the ${first} wall`],
    ...floor.map((each, index): Choice => [
      String(index + 1),
      `on the floor, on the ${second} of ${each.code}`,
    ]),
    ...lids.map((each): Choice => [`on ${each.code}`, `on the lid of ${each.code}`]),
  ];
}

/** Any place by name: vehicle, row, on the floor or on a lid. */
function MoveForm({ code }: { code: string }) {
  const sheets = draft.value?.sheets ?? [];
  const spot = spotOf(code);
  const [vehicle, setVehicle] = useState(spot?.sheet.id ?? sheets[0]?.id ?? "");
  const [row, setRow] = useState(String(spot?.row.number ?? 1));
  const [where, setWhere] = useState("0");
  const sheet = sheets.find((each) => each.id === vehicle);
  const fresh = row.startsWith("new ");
  const number = Number(row.replace("new ", ""));
  const there = sheet?.rows.find((each) => each.number === number);
  const rows = (sheet?.rows ?? []).flatMap((each) => [
    [`new ${each.number}`, `new row before ${each.number}`] as const,
    [String(each.number), `row ${each.number}`] as const,
  ]);
  const last = (sheet?.rows.length ?? 0) + 1;
  const places = placesIn(sheet, fresh ? undefined : there, code);
  const move = () => {
    const lid = where.startsWith("on ") ? where.slice(3) : null;
    const spot = { at: lid ? 0 : Number(where), on: lid ? [lid] : [] };
    const word = `${code} to ${vehicle}, ${fresh ? "a new row" : `row ${number}`}`;
    return act({ do: "move", code, vehicle, row: number, fresh, ...spot }, word);
  };
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        void move();
      }}
    >
      <Pick
        id="move-vehicle"
        label="Into"
        value={vehicle}
        options={sheets.map((each) => [each.id, each.name] as const)}
        onChange={(next) => {
          setVehicle(next);
          setRow("1");
          setWhere("0");
        }}
      />
      <Pick
        id="move-row"
        label="Row"
        value={row}
        options={[...rows, [`new ${last}`, `new row ${last} at the door`]]}
        onChange={(next) => {
          setRow(next);
          setWhere("0");
        }}
      />
      <Pick id="move-where" label="Where" value={where} options={places} onChange={setWhere} />
      <button type="submit" class="btn btn-ask" id="move-it">
        Move it there
      </button>
    </form>
  );
}

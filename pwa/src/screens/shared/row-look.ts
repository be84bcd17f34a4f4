/** How far a row is, as floor and lists draw it. */
import type { Leg } from "../../core/state";
import type { RowLook } from "../../ui/floor";

export function rowLook(now: Leg, number: number): RowLook {
  const row = now.rows.find((one) => one.number === number);
  if (!row) return "empty";
  if (row.state === "strapped" || row.state === "full") return row.state;
  return row.on.length > 0 ? "begun" : "empty";
}

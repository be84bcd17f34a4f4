/** Cases added up by department: what an owner would else take into a spreadsheet. */
import { area, mass } from "./units";
import type { FleetCase } from "./api-types";
import { byDepartment, type Sums, sumsOf } from "./totals";

export function SumsTable({ many, of }: { many: readonly FleetCase[]; of: string }) {
  if (many.length === 0) return null;
  return (
    <details class="card" id="sums">
      <summary>
        <b class="tall">Sums by department</b> <span class="soft">{of}</span>
      </summary>
      <table class="plain">
        <thead>
          <tr>
            <th scope="col">Department</th>
            <th scope="col">Cases</th>
            <th scope="col">Mass</th>
            <th scope="col">Floor, nothing stacked</th>
            <th scope="col">Not weighed</th>
          </tr>
        </thead>
        <tbody>
          {byDepartment(many).map(([department, sums]) => (
            <Line key={department} word={department || "no department"} sums={sums} />
          ))}
        </tbody>
        <tfoot>
          <Line word="In all" sums={sumsOf(many)} />
        </tfoot>
      </table>
    </details>
  );
}

function Line({ word, sums }: { word: string; sums: Sums }) {
  return (
    <tr>
      <th scope="row">{word}</th>
      <td class="tab-num">{sums.count}</td>
      <td class="tab-num">{mass(sums.mass_g)}</td>
      <td class="tab-num">{area(sums.floor_mm2)}</td>
      <td class={sums.unweighed ? "tab-num bad" : "tab-num"}>{sums.unweighed || "none"}</td>
    </tr>
  );
}

/** Mass and floor in a few words. */
export function sumWords(many: readonly FleetCase[]): string {
  const sums = sumsOf(many);
  const open = sums.unweighed ? ` and ${sums.unweighed} not weighed` : "";
  return `${mass(sums.mass_g)}${open}, ${area(sums.floor_mm2)} of floor`;
}

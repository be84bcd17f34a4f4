/** One vehicle of a plan: from above, its figures, and every row from the door. */
import type { VehicleSheet } from "../core/bundle";
import { Mark } from "../ui/mark";
import { Balance } from "./balance";
import { RowCard } from "./door-view";
import { TopView } from "./top-view";
import { length } from "./units";

export function VehicleDrawing({ sheet }: { sheet: VehicleSheet }) {
  const left = sheet.length_um - sheet.floor_length_um;
  return (
    <section class="stack vehicle-drawing" aria-label={sheet.name}>
      <header class="line line-wrap">
        <Mark mark={sheet.mark} size={36} />
        <h3 class="grow">
          {sheet.name} <span class="soft">{sheet.id}</span>
        </h3>
        <span>
          {sheet.rows.length} rows, <b>{length(sheet.floor_length_um)}</b> of{" "}
          {length(sheet.length_um)}, {length(left)} left
        </span>
      </header>
      <TopView sheet={sheet} label={`${sheet.name} from above: ${sheet.rows.length} rows`} />
      <Balance sheet={sheet} />
      <div class="rows-drawn">
        {sheet.rows.map((row) => (
          <RowCard key={row.number} sheet={sheet} row={row} />
        ))}
      </div>
      <p class="caution">
        These figures are aids. Local law, the vehicle's plate, the makers' ratings and a competent
        person decide.
      </p>
    </section>
  );
}

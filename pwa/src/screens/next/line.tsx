/** One case in one line: row, side, code and name. */
import { leg, vehicle } from "../../app-model";
import { CasePhoto } from "../shared/case-photo";
import { caseName } from "../shared/names";
import { go } from "../shared/navigation";
import { placeOf } from "../shared/sequence";
import { sideWord } from "../shared/format";

export function NextCardLine({ code }: { code: string }) {
  const found = vehicle.value ? placeOf(vehicle.value, code, leg.value) : null;
  return (
    <li>
      <button type="button" class="item" onClick={() => go("case", code)}>
        <span class="row-no">{found ? found.row.number : "?"}</span>
        <span class="grow">
          <span class="code">{code}</span> {caseName(code)}
          <br />
          <span class="soft">{found && sideWord(found.place.side)}</span>
        </span>
        <CasePhoto code={code} />
      </button>
    </li>
  );
}

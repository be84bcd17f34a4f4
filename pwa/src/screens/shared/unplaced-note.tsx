/** What the plan could not place, said plainly wherever a plan is looked at. */
import { t } from "../../i18n";
import { NextCardLine } from "../next/line";
import { unplaced } from "./unplaced";

export function NoPlace() {
  const codes = unplaced.value;
  if (codes.length === 0) return null;
  return (
    <section class="card card-hold stack" id="no-place">
      <h2>{t("plan.no_place", { n: codes.length })}</h2>
      <ul class="list">
        {codes.map((code) => (
          <NextCardLine key={code} code={code} />
        ))}
      </ul>
    </section>
  );
}

/** Every row of the vehicle from bulkhead to door, and how far each one is. */
import { bundle, leg, vehicle } from "../../app-model";
import { t } from "../../i18n";
import { Floor, type RowLook } from "../../ui/floor";
import { Icon, type IconName } from "../../ui/icon";
import { Frame } from "../shared/frame";
import { go } from "../shared/navigation";
import { rowLook } from "../shared/row-look";
import { placeOf } from "../shared/sequence";
import { stepsAhead } from "../shared/steps";

/** A tick means done: a full row is that only once its straps are on. */
const ICONS: Record<RowLook, IconName> = {
  strapped: "check",
  full: "strap",
  begun: "wait",
  empty: "rows",
};

export function Rows() {
  const at = vehicle.value;
  const now = leg.value;
  const sheet = bundle.value;
  if (!at || !now || !sheet) return <Frame title={t("row.of")} top tabs children={null} />;
  const first = stepsAhead.value[0];
  const working = first ? (placeOf(at, first, now)?.row.number ?? null) : null;
  return (
    <Frame title={t("row.of")} top tabs>
      <Floor vehicle={at} look={(row) => rowLook(now, row)} now={working} label={t("row.of")} />
      <p class="line soft floor-ends">
        <span class="grow">{t("bulkhead")}</span>
        <span>{t("door")}</span>
      </p>
      <ul class="list">
        {at.rows.map((row) => {
          const is = rowLook(now, row.number);
          const known = now.rows.find((one) => one.number === row.number);
          return (
            <li key={row.number}>
              <button type="button" class="item" onClick={() => go("row", String(row.number))}>
                <span class="row-no">{row.number}</span>
                <span class="grow">
                  <b>{t(`row.${is}`)}</b>
                  <br />
                  {t("row.straps", {
                    have: known?.counted ?? 0,
                    need: known?.needed ?? row.straps,
                  })}
                </span>
                <span class="tab-num">
                  {known?.on.length ?? 0} / {known?.due.length ?? row.places.length}
                </span>
                <Icon name={ICONS[is]} size={32} />
              </button>
            </li>
          );
        })}
      </ul>
      <p class="caution">{t("caution.straps")}</p>
    </Frame>
  );
}

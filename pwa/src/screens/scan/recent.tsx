/** The last ten cases of this phone, each to be taken back by name. */
import { bundle, undo } from "../../app-model";
import { recentOwn, type Recent as Booked } from "../../app-model-chief";
import { t } from "../../i18n";
import { Button } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { caseName, vehicleName } from "../shared/names";
import { ago } from "../shared/format";
import { useNow } from "./undo";

export function Recent() {
  const now = useNow(15);
  const all = recentOwn();
  return (
    <Frame title={t("recent.title")}>
      {all.length === 0 && <p class="card">{t("recent.none")}</p>}
      <ul class="list" id="recent">
        {all.map((one) => (
          <li key={one.event} class="card stack">
            <p>
              <span class="code">{one.code}</span> {caseName(one.code)}
              <br />
              <span class="soft">{where(one, now)}</span>
            </p>
            {one.strapped ? (
              <p class="note">{t("recent.strapped", { row: one.row ?? "?" })}</p>
            ) : (
              <Button icon="undo" onPress={() => undo(one.event, one)}>
                {t("undo.what", { code: one.code })}
              </Button>
            )}
          </li>
        ))}
      </ul>
    </Frame>
  );
}

function where({ did, row, vehicle, at }: Booked, now: number): string {
  const several = (bundle.value?.vehicles.length ?? 0) > 1;
  const parts = [
    t(did === "on" ? "recent.on" : "recent.off"),
    ...(several ? [vehicleName(vehicle)] : []),
    ...(row === null ? [] : [t("row.title", { row })]),
    ago(at, now),
  ];
  return parts.join(", ");
}

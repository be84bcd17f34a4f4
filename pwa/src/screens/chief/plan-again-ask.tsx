/** What one wish needs: which case, which spare, which row, which vehicle. */
import { useEffect, useState } from "preact/hooks";
import { bundle, vehicle } from "../../app-model";
import { vehiclesToTake, type VehicleName } from "../../app-model-chief";
import { t } from "../../i18n";
import { Button } from "../../ui/parts";
import { caseName } from "../shared/names";
import { Spare } from "./spare";

export type WishKind = "add" | "leave" | "swap" | "damaged" | "row" | "truck";

/** `code`: the case meant, or the vehicle; `spare`: what comes instead; `row`: which will not close. */
export interface Wish {
  kind: WishKind;
  code: string;
  spare?: string;
  vehicle?: string;
  row?: number;
}

interface AskProps {
  kind: WishKind;
  onWish: (wish: Wish) => void;
  onClose: () => void;
}

export function Ask(props: AskProps) {
  const { kind, onClose } = props;
  return (
    <section class="card stack" aria-label={t(`again.${kind}`)}>
      <h2>{t(`again.${kind}`)}</h2>
      {kind === "row" ? (
        <OpenRow {...props} />
      ) : kind === "truck" ? (
        <Truck {...props} />
      ) : (
        <OneCase {...props} />
      )}
      <Button icon="back" onPress={onClose}>
        {t("again.cancel")}
      </Button>
    </section>
  );
}

const planned = (code: string): boolean =>
  bundle.value?.vehicles.some((one) => one.load.includes(code)) ?? false;

/** A case by scan, by its code, or from the list; for a swap its spare comes after it. */
function OneCase({ kind, onWish }: AskProps) {
  const [first, setFirst] = useState<string | null>(null);
  const [wrong, setWrong] = useState("");
  const take = (code: string | null) => {
    if (code === null) return;
    const fits = planned(code) === (kind !== "add");
    setWrong(fits ? "" : t(kind === "add" ? "again.planned" : "again.not_planned", { code }));
    if (!fits) return;
    if (kind === "swap") setFirst(code);
    else onWish({ kind, code });
  };
  if (first)
    return (
      <>
        <p>
          <span class="code">{first}</span> {caseName(first)}
        </p>
        <Spare
          key={first}
          code={first}
          value={null}
          onChange={(spare) => spare && onWish({ kind, code: first, spare })}
        />
      </>
    );
  return (
    <>
      {wrong && <p class="trouble">{wrong}</p>}
      <Spare code="" value={null} onChange={take} label={t("scan.code")} />
    </>
  );
}

/** Which row, then which of its cases comes out; one that bears another keeps its place. */
function OpenRow({ kind, onWish }: AskProps) {
  const [row, setRow] = useState<number | null>(null);
  const at = vehicle.value;
  const chosen = at?.rows.find((one) => one.number === row);
  if (!at) return null;
  if (!chosen)
    return (
      <div class="pair pair-three">
        {at.rows.map((one) => (
          <Button key={one.number} onPress={() => setRow(one.number)}>
            {t("row.title", { row: one.number })}
          </Button>
        ))}
      </div>
    );
  const bears = new Set(chosen.places.flatMap((place) => place.on));
  return (
    <>
      <p>{t("again.which_out", { row: chosen.number })}</p>
      {chosen.places
        .filter(({ code }) => !bears.has(code))
        .map(({ code }) => (
          <Button
            key={code}
            tone="left"
            onPress={() => onWish({ kind, code, vehicle: at.id, row: chosen.number })}
          >
            <span class="code">{code}</span> {caseName(code)}
          </Button>
        ))}
    </>
  );
}

function Truck({ kind, onWish }: AskProps) {
  const [all, setAll] = useState<readonly VehicleName[] | null>(null);
  useEffect(() => {
    void vehiclesToTake().then(setAll);
  }, []);
  const here = new Set(bundle.value?.vehicles.map(({ id }) => id));
  const others = (all ?? []).filter(({ id }) => !here.has(id));
  if (all && others.length === 0) return <p class="note">{t("again.no_truck")}</p>;
  return (
    <>
      {others.map(({ id, name }) => (
        <Button key={id} icon="truck" tone="left" onPress={() => onWish({ kind, code: id })}>
          <span class="code">{id}</span> {name}
        </Button>
      ))}
    </>
  );
}

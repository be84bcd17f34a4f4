/** The ramp as it lies here: rise and length, or two readings of the tilt; every figure counts it. */
import { useState } from "preact/hooks";
import { bundle, report } from "../../app-model";
import type { VehicleSheet } from "../../core/bundle";
import type { Floor } from "../../core/events";
import { t } from "../../i18n";
import { Button, Choice, Field } from "../../ui/parts";
import { measuredRamp } from "../shared/hands-needed";
import { measuredWord } from "../shared/slope";
import { typedLength } from "../shared/typed";
import { bothWays, readTilt } from "./tilt";

const FLOORS = ["good", "rough", "soft"] as const;
/** A slope from the tilt alone is kept over a length of 1 m. */
const METRE_UM = 1_000_000;

interface Slope {
  rise_um: number;
  length_um: number;
}

export function RampMeasure({ at }: { at: VehicleSheet }) {
  const measured = measuredRamp(at);
  const [open, setOpen] = useState(false);
  return (
    <section class="card stack" id="ramp-measure">
      <h2>{t("ramp.title")}</h2>
      {measured && <p>{measuredWord(measured)}</p>}
      {open ? (
        <Form done={() => setOpen(false)} />
      ) : (
        <Button icon="swap" onPress={() => setOpen(true)} id="measure">
          {t(measured ? "ramp.again" : "ramp.open")}
        </Button>
      )}
    </section>
  );
}

function Form({ done }: { done: () => void }) {
  const [typed, setTyped] = useState({ rise: "", length: "", width: "" });
  const [floor, setFloor] = useState<Floor | null>(null);
  const [tilted, setTilted] = useState<number | null>(null);
  const units = bundle.value?.units;
  if (!units) return null;
  const amount = (text: string) => typedLength(text, units);
  const slope =
    tilted === null
      ? byLengths(/^0+$/.test(typed.rise.trim()) ? 0 : amount(typed.rise), amount(typed.length))
      : byTilt(tilted);
  const width = amount(typed.width);
  const save = async () => {
    if (!slope || !floor) return;
    const ramp = { kind: "ramp" as const, ...slope, floor, ...(width ? { width_um: width } : {}) };
    if (await report(ramp)) done();
  };
  const field = (name: "rise" | "length" | "width") => (
    <Field
      id={`ramp-${name}`}
      label={`${t(`ramp.${name}`)} (${units.length})`}
      value={typed[name]}
      onInput={(value) => setTyped({ ...typed, [name]: value })}
      mode="decimal"
    />
  );
  return (
    <>
      {tilted === null && field("rise")}
      {tilted === null && field("length")}
      <Tilt value={tilted} onChange={setTilted} />
      {typed.rise !== "" && typed.length !== "" && !slope && (
        <p class="trouble">{t("ramp.wrong")}</p>
      )}
      {field("width")}
      <p>{t("ramp.floor")}</p>
      <Choice
        name={t("ramp.floor")}
        value={floor}
        options={FLOORS.map((value) => ({ value, word: t(`ramp.floor_${value}`) }))}
        onChange={setFloor}
      />
      <Button tone="main" icon="check" busy={!slope || !floor} onPress={save} id="save-ramp">
        {t("ramp.save")}
      </Button>
      <p class="soft">{t("ramp.why")}</p>
    </>
  );
}

/** A ramp is longer than it is high; a level way rises by 0. */
function byLengths(rise: number | null, length: number | null): Slope | null {
  if (rise === null || length === null || length <= rise) return null;
  return { rise_um: rise, length_um: length };
}

function byTilt(degrees: number): Slope {
  const sine = Math.sin((degrees * Math.PI) / 180);
  return { rise_um: Math.round(sine * METRE_UM), length_um: METRE_UM };
}

function Tilt({
  value,
  onChange,
}: {
  value: number | null;
  onChange: (to: number | null) => void;
}) {
  const [first, setFirst] = useState<number | null>(null);
  const [none, setNone] = useState(false);
  const read = async () => {
    const told = await readTilt();
    setNone(told === null);
    if (told === null) return;
    if (first === null) setFirst(told);
    else {
      onChange(bothWays(first, told));
      setFirst(null);
    }
  };
  return (
    <div class="stack">
      <Button icon="phone" onPress={read} id="tilt">
        {t(first === null ? "ramp.tilt_first" : "ramp.tilt_second")}
      </Button>
      {none && <p class="trouble">{t("ramp.no_tilt")}</p>}
      {value !== null && (
        <Button icon="close" onPress={() => onChange(null)} id="no-tilt">
          {t("ramp.tilted", { degrees: value.toFixed(1) })}
        </Button>
      )}
    </div>
  );
}

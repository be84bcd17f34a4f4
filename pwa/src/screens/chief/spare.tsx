/** The case that goes in the place of another: scanned, chosen or typed, and always a real one. */
import { useEffect, useState } from "preact/hooks";
import { bundle, catchScans, move, state } from "../../app-model";
import type { CameraTrouble } from "../../app-model-scan";
import { acceptTyped } from "../../core/case-code";
import { t } from "../../i18n";
import { Button, Field } from "../../ui/parts";
import { caseName } from "../shared/names";
import { Live } from "../scan/live";

const MOST = 6;

interface SpareProps {
  code: string;
  value: string | null;
  onChange: (code: string | null) => void;
  /** What is asked for, where it is not what goes in the place of another. */
  label?: string;
}

export function Spare({ code, value, onChange, label = t("excuse.spare") }: SpareProps) {
  const [typed, setTyped] = useState("");
  const [live, setLive] = useState(false);
  const [no, setNo] = useState<CameraTrouble | null>(null);
  const [wrong, setWrong] = useState("");
  const take = (text: string) => {
    const read = acceptTyped(text, { has: isCase });
    const good = read.ok && read.code !== code ? read.code : null;
    setWrong(good || text.trim() === "" ? "" : text);
    if (good) setLive(false);
    onChange(good);
  };
  useEffect(() => {
    catchScans(take);
    return () => catchScans(null);
  }, []);
  return (
    <section class="stack" aria-label={label}>
      {value && (
        <p class="card card-go" id="spare-is">
          <span class="code">{value}</span> {caseName(value)}
        </p>
      )}
      <Button icon="scan" pressed={live} onPress={() => setLive(!live)} id="spare-scan">
        {t("excuse.scan_spare")}
      </Button>
      {live && !no && <Live onTrouble={setNo} idle={false} />}
      {no && <p class="note">{t("scan.off")}</p>}
      <div class="stack" role="radiogroup" aria-label={label}>
        {spares(code).map((one) => (
          <button
            key={one}
            type="button"
            role="radio"
            class="btn btn-left"
            aria-checked={value === one}
            onClick={() => onChange(one)}
          >
            <span>
              <span class="code">{one}</span> {caseName(one)}
            </span>
          </button>
        ))}
      </div>
      <Field
        id="spare"
        label={label}
        value={typed}
        onInput={(text) => {
          setTyped(text);
          take(text);
        }}
        code
      />
      {wrong && <p class="trouble">{t("excuse.no_case", { code: wrong })}</p>}
    </section>
  );
}

const isCase = (code: string): boolean =>
  Object.hasOwn(bundle.value?.cases ?? {}, code) || Object.hasOwn(state.value?.added ?? {}, code);

/** Cases of the fleet that go nowhere tonight, the most alike first: name, then size. */
function spares(code: string): string[] {
  const sheet = bundle.value;
  const at = move.value;
  const own = sheet?.cases[code];
  if (!sheet || !at || !own) return [];
  const legs = Object.values(state.value?.legs[at] ?? {});
  const busy = new Set(legs.flatMap((leg) => [...leg.due, ...leg.on, ...Object.keys(leg.excused)]));
  const unlike = (name: string) => {
    const card = sheet.cases[name];
    if (!card) return Infinity;
    const sides = (["length_um", "width_um", "height_um"] as const).reduce(
      (sum, side) => sum + Math.abs(card[side] - own[side]) / 1_000,
      0,
    );
    return (
      sides + (card.name === own.name ? 0 : 400) + (card.department === own.department ? 0 : 400)
    );
  };
  return Object.keys(sheet.cases)
    .filter((name) => name !== code && !busy.has(name) && !state.value?.damaged[name])
    .sort((a, b) => unlike(a) - unlike(b) || (a < b ? -1 : 1))
    .slice(0, MOST);
}

/** Mass of one case: what is known and how, and the entry that settles it for all figures at once. */
import { useState } from "preact/hooks";
import { bundle, report, state } from "../../app-model";
import { t } from "../../i18n";
import { Button, Field } from "../../ui/parts";
import { mass } from "../shared/format";
import { typedMass } from "../shared/typed";
import { caseGrams, worstGrams } from "../shared/names";
import { isChief } from "../shared/who";

/** A mass with its ground: stated, weighed tonight, guessed, or assumed at worst. */
export function massWord(code: string, grams: number): string {
  const units = bundle.value?.units;
  if (!units) return "";
  if (grams === 0) return t("weigh.unknown", { mass: mass(worstGrams(code), units, "up") });
  const said = mass(grams, units, "up");
  const scale = state.value?.weighed[code];
  return scale ? t(`weigh.by_${scale.how}`, { mass: said }) : said;
}

export function WeighIn({ code }: { code: string }) {
  const units = bundle.value?.units;
  const [open, setOpen] = useState(!caseGrams(code));
  const [typed, setTyped] = useState("");
  if (!units) return null;
  if (!open)
    return (
      <Button icon="weight" onPress={() => setOpen(true)} id="weigh">
        {t("weigh.title")}
      </Button>
    );
  const grams = typedMass(typed, units);
  const save = async (how: "scale" | "guess") => {
    if (grams && (await report({ kind: "weighed", code, mass_g: grams, how }))) {
      setTyped("");
      setOpen(false);
    }
  };
  return (
    <section class={caseGrams(code) ? "card stack" : "card card-ask stack"} id="weigh-in">
      <h3>{t("weigh.title")}</h3>
      <Field
        id="weigh-mass"
        label={`${t("case.mass")} (${units.mass})`}
        value={typed}
        onInput={setTyped}
        mode="decimal"
      />
      <Button tone="main" icon="weight" busy={!grams} onPress={() => save("scale")} id="by-scale">
        {t("weigh.scale")}
      </Button>
      {isChief.value && (
        <Button icon="note" busy={!grams} onPress={() => save("guess")} id="by-guess">
          {t("weigh.guess")}
        </Button>
      )}
      <p class="soft">{t("weigh.why")}</p>
    </section>
  );
}

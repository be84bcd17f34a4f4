/** A case that nobody knows, added at the dock in a few taps, with no network. */
import { useState } from "preact/hooks";
import { bundle, report } from "../../app-model";
import { t } from "../../i18n";
import { Button, Choice, Field } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { go, screen } from "../shared/navigation";
import { PhotoButton } from "../scan/photo";
import { isChief } from "../shared/who";
import { typedLength, typedMass } from "../shared/typed";

type Goes = "travels" | "returns";
const SIDES = ["length", "width", "height"] as const;

export function Add() {
  const [code, setCode] = useState(screen.value.arg);
  const [name, setName] = useState("");
  const [owner, setOwner] = useState("");
  const [goes, setGoes] = useState<Goes | null>(null);
  const [grams, setGrams] = useState("");
  const [sides, setSides] = useState<readonly string[]>(["", "", ""]);
  const [photo, setPhoto] = useState<string | null>(null);
  const units = bundle.value?.units ?? { length: "cm", mass: "kg" };
  const ready = code.trim() !== "" && name.trim() !== "" && goes !== null;

  const add = async () => {
    const [length, width, height] = sides.map((side) => typedLength(side, units));
    const mass = typedMass(grams, units);
    const made = await report({
      kind: "added",
      code: code.trim().toUpperCase(),
      name: name.trim(),
      owner: owner.trim(),
      travels: goes === "travels",
      ...(length ? { length_um: length } : {}),
      ...(width ? { width_um: width } : {}),
      ...(height ? { height_um: height } : {}),
      ...(mass ? { mass_g: mass } : {}),
      ...(photo ? { photo } : {}),
    });
    if (made) go("case", code.trim().toUpperCase(), true);
  };

  return (
    <Frame
      title={t("add.title")}
      thumb={
        <Button tone="main" icon="plus" busy={!ready} onPress={add} id="add">
          {t("add.go")}
        </Button>
      }
    >
      {isChief.value && screen.value.arg !== "" && (
        <Button icon="scan" onPress={() => go("bind", screen.value.arg, true)} id="add-bind">
          {t("bind.known")}
        </Button>
      )}
      <Field id="add-code" label={t("scan.code")} value={code} onInput={setCode} code />
      <Field id="add-name" label={t("add.name")} value={name} onInput={setName} />
      <Field id="add-owner" label={t("add.owner")} value={owner} onInput={setOwner} />
      <h2>{t("add.goes")}</h2>
      <Choice
        name={t("add.goes")}
        value={goes}
        options={[
          { value: "travels", word: t("add.travels"), icon: "truck" },
          { value: "returns", word: t("add.returns"), icon: "home" },
        ]}
        onChange={setGoes}
      />
      <PhotoButton taken={photo !== null} onPhoto={setPhoto} />
      <Field
        id="add-mass"
        label={`${t("case.mass")} (${units.mass})`}
        value={grams}
        onInput={setGrams}
        mode="decimal"
      />
      <fieldset class="three">
        <legend>{`${t("case.size")} (${units.length})`}</legend>
        {SIDES.map((side, index) => (
          <Field
            key={side}
            id={`add-${side}`}
            label={t(`add.${side}`)}
            value={sides[index] ?? ""}
            onInput={(text) => setSides(sides.map((old, at) => (at === index ? text : old)))}
            mode="decimal"
          />
        ))}
      </fieldset>
    </Frame>
  );
}

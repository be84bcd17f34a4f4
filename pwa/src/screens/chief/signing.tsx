/** Signatures on the glass: the chief's always, driver's and venue's where they are there. */
import { useState } from "preact/hooks";
import { session } from "../../app-model";
import type { Signer } from "../../core/events";
import { t } from "../../i18n";
import { Button, Field } from "../../ui/parts";
import { SignPad } from "../../ui/sign-pad";

export interface Signed {
  signature: string;
  signers: Signer[];
}
type Role = Signer["role"];
const OTHERS: readonly Role[] = ["driver", "venue"];

export function Signing({ word, onSign }: { word: string; onSign: (signed: Signed) => unknown }) {
  const [paths, setPaths] = useState<Record<Role, string>>({ chief: "", driver: "", venue: "" });
  const [names, setNames] = useState<Record<Role, string>>({
    chief: session.value?.name ?? "",
    driver: "",
    venue: "",
  });
  const [shown, setShown] = useState<readonly Role[]>(["chief"]);
  const [busy, setBusy] = useState(false);
  const ready = shown.every((role) => paths[role] !== "" && names[role].trim() !== "");

  const sign = async () => {
    setBusy(true);
    const signers = shown.map((role) => ({
      role,
      name: names[role].trim(),
      signature: paths[role],
    }));
    await onSign({ signature: paths.chief, signers });
    setBusy(false);
  };

  return (
    <div class="stack">
      {shown.map((role) => (
        <div key={role} class="stack">
          <Field
            id={`sign-${role}`}
            label={t(`sign.${role}`)}
            value={names[role]}
            onInput={(name) => setNames({ ...names, [role]: name })}
          />
          <SignPad
            label={t("sign.here", { who: t(`sign.${role}`) })}
            again={t("sign.again")}
            value={paths[role]}
            onChange={(path) => setPaths({ ...paths, [role]: path })}
          />
        </div>
      ))}
      <div class="pair">
        {OTHERS.filter((role) => !shown.includes(role)).map((role) => (
          <Button key={role} icon="plus" onPress={() => setShown([...shown, role])}>
            {t(`sign.${role}`)}
          </Button>
        ))}
      </div>
      <Button tone="main" icon="sign" busy={!ready || busy} onPress={sign} id="sign">
        {word}
      </Button>
    </div>
  );
}

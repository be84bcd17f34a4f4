/** Language and palette: also offered before joining, for who cannot read the first screen. */
import { lang, palette, prefer } from "../../app-model";
import { languageName, languages, t } from "../../i18n";
import { Choice } from "../../ui/parts";

export function LanguageChoice() {
  return (
    <section class="stack">
      <h2>{t("set.language")}</h2>
      <Choice
        name={t("set.language")}
        value={lang.value}
        options={languages.map((id) => ({ value: id, word: languageName(id), icon: "globe" }))}
        onChange={(id) => prefer({ lang: id })}
      />
    </section>
  );
}

export function PaletteChoice() {
  return (
    <section class="stack">
      <h2>{t("set.palette")}</h2>
      <Choice
        name={t("set.palette")}
        value={palette.value === "night" ? "night" : "sun"}
        options={[
          { value: "night", word: t("set.night"), icon: "moon" },
          { value: "sun", word: t("set.sunlight"), icon: "sun" },
        ]}
        onChange={(one) => prefer({ palette: one })}
      />
    </section>
  );
}

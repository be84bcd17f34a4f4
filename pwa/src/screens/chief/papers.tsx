/** Papers: the page of every vehicle, and for the chief the record of the night. */
import { useState } from "preact/hooks";
import { bundle, link, vehicle } from "../../app-model";
import { savePaper } from "../../app-model-chief";
import { t } from "../../i18n";
import { said } from "../../i18n/said";
import { Button } from "../../ui/parts";
import { Frame } from "../shared/frame";
import { isChief } from "../shared/who";

export function Papers() {
  const [told, setTold] = useState("");
  const show = bundle.value?.show.id ?? "show";
  const fetchIt = (which: string, name: string) => async () => {
    setTold(t("papers.busy"));
    const got = await savePaper(which, name);
    if (got.ok) setTold(t("papers.done"));
    else
      setTold(
        got.why === null
          ? t("papers.need_server")
          : t("papers.refused", { why: said(got.why) ?? got.why }),
      );
  };
  const here = vehicle.value?.id;
  // the vehicle at hand comes first
  const vehicles = [...(bundle.value?.vehicles ?? [])].sort(
    (one, other) => Number(other.id === here) - Number(one.id === here),
  );
  return (
    <Frame title={t("papers.title")}>
      {link.value.state !== "reached" && <p class="note">{t("papers.need_server")}</p>}
      <p role="status" class={told ? "note" : "unseen"}>
        {told}
      </p>
      {vehicles.map((one) => (
        <Button
          key={one.id}
          icon="truck"
          tone="left"
          onPress={fetchIt(`sheet.pdf?vehicle=${encodeURIComponent(one.id)}`, `${one.id}.pdf`)}
        >
          {t("papers.sheet", { name: one.name })}
        </Button>
      ))}
      {isChief.value && (
        <section class="stack">
          <Button icon="note" onPress={fetchIt("record.pdf", `record-${show}.pdf`)}>
            {t("papers.record_pdf")}
          </Button>
          <Button icon="list" onPress={fetchIt("record.csv", `record-${show}.csv`)}>
            {t("papers.record_csv")}
          </Button>
          <Button icon="lock" onPress={fetchIt("record", `record-${show}.json`)}>
            {t("papers.record_json")}
          </Button>
          <p class="soft">{t("papers.check")}</p>
        </section>
      )}
    </Frame>
  );
}

/** A row is full: straps are counted before the next row hides it. */
import { useState } from "preact/hooks";
import { report } from "../app-model";
import type { Bundle, RowSheet } from "../core/bundle";
import type { RowState } from "../core/state";
import { t } from "../i18n";
import { Icon } from "../ui/icon";
import { Button, Steps } from "../ui/parts";
import { length } from "./words";

interface StrapProps {
  row: RowSheet;
  now: RowState;
  bundle: Bundle;
  last: boolean;
  onDone: () => void;
  onLater?: () => void;
}

/** Asks for the count; it never offers the wanted number as already counted. */
export function StrapCard({ row, now, bundle, last, onDone, onLater }: StrapProps) {
  const [count, setCount] = useState(0);
  const [filled, setFilled] = useState(false);
  const [busy, setBusy] = useState(false);
  const missing = now.due.filter((code) => !now.on.includes(code)).length;
  const slack = length(row.slack_um, bundle.units, "up");
  const done = async () => {
    setBusy(true);
    const made = await report({ kind: "strapped", row: row.number, count, filled });
    setBusy(false);
    if (made) onDone();
  };
  return (
    <section class="card card-ask stack" aria-label={t("strap.now")}>
      <h2 class="line">
        <Icon name="strap" size={48} />
        <span class="grow">
          {t("strap.row_full", { row: row.number })}
          <br />
          {t("strap.now")}: {t("strap.need", { n: now.needed })}
        </span>
      </h2>
      <StrapPicture need={now.needed} have={count} />
      <Steps
        name={t("strap.counted")}
        value={count}
        most={20}
        less={t("strap.less")}
        more={t("strap.more")}
        onChange={setCount}
      />
      {now.needs_fill && (
        <Button icon="check" pressed={filled} onPress={() => setFilled(!filled)}>
          {t("strap.slack", { size: slack })}: {t("strap.fill")}
        </Button>
      )}
      {missing > 0 && <p class="trouble">{t("strap.without", { n: missing })}</p>}
      {last && <p class="note">{t("strap.last")}</p>}
      {count < now.needed && (
        <p class="soft">{t("strap.short", { have: count, need: now.needed })}</p>
      )}
      <Button
        tone="main"
        icon="strap"
        busy={busy || (count === 0 && now.needed > 0)}
        onPress={done}
      >
        {t("strap.done", { row: row.number })}
      </Button>
      {onLater && <Button onPress={onLater}>{t("strap.later")}</Button>}
    </section>
  );
}

/** One band for every strap that is asked for; counted ones are filled. */
function StrapPicture({ need, have }: { need: number; have: number }) {
  const bands = Math.max(need, have, 1);
  return (
    <svg viewBox={`0 0 240 ${bands * 22 + 8}`} width="100%" height={bands * 26} aria-hidden="true">
      <path
        d={`M10 0v${bands * 22 + 8}M230 0v${bands * 22 + 8}`}
        stroke="var(--line)"
        stroke-width="6"
      />
      {Array.from({ length: bands }, (_, index) => (
        <rect
          key={index}
          x="10"
          y={index * 22 + 7}
          width="220"
          height="14"
          fill={index < have ? "var(--ink)" : "none"}
          stroke="var(--ink)"
          stroke-width="2"
          stroke-dasharray={index < have ? undefined : "8 6"}
        />
      ))}
    </svg>
  );
}

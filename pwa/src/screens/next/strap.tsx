/** A row is full: straps are counted before the next row hides it. */
import { useEffect, useState } from "preact/hooks";
import { report } from "../../app-model";
import type { Bundle, RowSheet } from "../../core/bundle";
import type { RowState } from "../../core/state";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Button, Steps } from "../../ui/parts";
import { length } from "../shared/format";
import { strapLater } from "./later";

interface StrapProps {
  row: RowSheet;
  now: RowState;
  bundle: Bundle;
  last: boolean;
}

/** What is counted so far, and how it is said: the count starts at none, never at what is wanted. */
export function useStraps(row: RowState | null) {
  const [count, setCount] = useState(0);
  const [filled, setFilled] = useState(false);
  const [busy, setBusy] = useState(false);
  const [asking, setAsking] = useState(false);
  const number = row?.number ?? 0;
  useEffect(() => {
    setCount(0);
    setFilled(false);
    setAsking(false);
  }, [number]);
  const save = async (full: boolean) => {
    setBusy(true);
    await report({ kind: "strapped", row: number, count, filled: full });
    setBusy(false);
    setAsking(false);
    // the row still wants its filling: the night goes on, and the screen remembers it
    if (row?.needs_fill && !full) strapLater(number);
  };
  /** Slack that is not filled is asked for: behind the next row nobody can fill it any more. */
  const done = () =>
    row?.needs_fill && !row.filled && !filled ? setAsking(true) : void save(filled);
  const idle = !busy && (count > 0 || row?.needed === 0);
  return { count, setCount, filled, setFilled, idle, done, asking, save };
}
export type Straps = ReturnType<typeof useStraps>;

export function StrapCard({ row, now, bundle, last, straps }: StrapProps & { straps: Straps }) {
  const { count, filled } = straps;
  const missing = now.due.filter((code) => !now.on.includes(code)).length;
  const slack = length(row.slack_um, bundle.units, "up");
  return (
    <section class="card card-ask stack" aria-label={t("strap.now")}>
      <h2 class="line">
        <Icon name="strap" size={48} />
        <span class="grow">
          {missing === 0
            ? t("strap.row_full", { row: row.number })
            : t("row.title", { row: row.number })}
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
        onChange={straps.setCount}
      />
      {now.needs_fill && (
        <Button icon="check" pressed={filled} onPress={() => straps.setFilled(!filled)} id="fill">
          {filled ? t("strap.fill") : t("strap.slack", { size: slack })}
        </Button>
      )}
      {straps.asking && (
        <div class="trouble stack" role="alert" id="slack-open">
          <p>{t("strap.slack_open", { size: slack })}</p>
          <Button icon="check" onPress={() => straps.save(true)} id="fill-now">
            {t("strap.fill_now")}
          </Button>
          <Button icon="close" onPress={() => straps.save(false)} id="fill-not">
            {t("strap.fill_not")}
          </Button>
        </div>
      )}
      {missing > 0 && <p class="trouble">{t("strap.without", { n: missing })}</p>}
      {last && <p class="note">{t("strap.last")}</p>}
      {count > 0 && count < now.needed && (
        <p class="soft">{t("strap.short", { have: count, need: now.needed })}</p>
      )}
      <p class="caution">{t("caution.straps")}</p>
    </section>
  );
}

export function StrapButton({ row, straps }: { row: number; straps: Straps }) {
  return (
    <Button tone="main" icon="strap" busy={!straps.idle} onPress={straps.done} id="strapped">
      {t("strap.done", { row })}
    </Button>
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

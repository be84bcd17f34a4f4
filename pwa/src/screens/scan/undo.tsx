/** Ten seconds to take the last report back. */
import { useEffect, useState } from "preact/hooks";
import type { Shown } from "../../app-model";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";

interface UndoProps {
  shown: Shown | null;
  onUndo: (event: string) => unknown;
}

export function UndoBar({ shown, onUndo }: UndoProps) {
  const until = shown?.undo_until ?? 0;
  const open = useOpenUntil(until);
  const event = shown?.event;
  if (!open || !event || !shown) return null;
  return (
    <button type="button" class="btn undo" onClick={() => onUndo(event)}>
      <Icon name="undo" />
      <span>{t("undo.what", { code: shown.answer.code })}</span>
      <i key={event} />
    </button>
  );
}

/** True until a moment has come, and drawn anew when it has. */
export function useOpenUntil(until: number): boolean {
  const [now, setNow] = useState(() => Date.now());
  useEffect(() => {
    setNow(Date.now());
    const wait = until - Date.now();
    if (wait <= 0) return undefined;
    const timer = setTimeout(() => setNow(Date.now()), wait + 20);
    return () => clearTimeout(timer);
  }, [until]);
  return now < until;
}

/** The time, drawn anew every so many seconds. */
export function useNow(seconds: number): number {
  const [now, setNow] = useState(() => Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), seconds * 1000);
    return () => clearInterval(timer);
  }, [seconds]);
  return now;
}

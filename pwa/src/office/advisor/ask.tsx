/** A question to the advisor: it waits in the planner's queue, is asked after, and may be stopped. */
import { useEffect, useRef, useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import { call } from "../shared/api";
import { tried } from "../shared/state";

interface Advice<T> {
  job: string;
  state: "waiting" | "working" | "done" | "failed";
  done: number;
  of: number;
  answer: T | null;
  at: number | null;
  trouble: string | null;
}

interface Asking<T> {
  now: Advice<T> | null;
  busy: boolean;
  ask: (question: object) => Promise<void>;
  stop: () => void;
}

const PAUSE_MS = 500;

/** One question at a time; it is asked after while its screen is open. */
export function useAdvice<T>(): Asking<T> {
  const [now, setNow] = useState<Advice<T> | null>(null);
  const [busy, setBusy] = useState(false);
  const here = useRef(true);
  useEffect(() => () => void (here.current = false), []);
  const ask = async (question: object) => {
    setBusy(true);
    let got = await tried(() => call<Advice<T>>("POST", "/advice", question));
    while (got && here.current && (got.state === "waiting" || got.state === "working")) {
      setNow(got);
      const { job }: { job: string } = got;
      await new Promise((wake) => setTimeout(wake, PAUSE_MS));
      got = await tried(() => call<Advice<T>>("GET", `/advice/${job}`));
    }
    if (!here.current) return;
    setNow(got);
    setBusy(false);
  };
  const stop = () => {
    if (now?.job) void tried(() => call("DELETE", `/advice/${now.job}`));
  };
  return { now, busy, ask, stop };
}

interface AskLineProps {
  id: string;
  word: string;
  asking: Asking<unknown>;
  onAsk: () => void;
}

/** The button that asks, how far the answer is, and the button that stops it. */
export function AskLine({ id, word, asking, onAsk }: AskLineProps) {
  const { now, busy, stop } = asking;
  return (
    <div class="stack no-print">
      <div>
        {busy ? (
          <Button id={`${id}-stop`} tone="stop" onPress={stop}>
            Stop and keep what is known
          </Button>
        ) : (
          <Button id={id} tone="ask" onPress={onAsk}>
            {word}
          </Button>
        )}
      </div>
      {busy && now && now.of > 0 && (
        <progress max={now.of} value={now.done} aria-label="Progress of the answer" />
      )}
      <p role="status" class="soft">
        {busy &&
          (now?.state === "waiting" ? "Waiting for the planner." : "The planner is at work.")}
        {!busy && now?.trouble}
      </p>
    </div>
  );
}

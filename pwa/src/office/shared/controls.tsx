/** Parts that the office's screens share. */
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { Icon } from "../../ui/icon";
import { fieldWords, messageWords } from "./error-messages";
import { HistoryLink } from "./here";
import { done, trouble } from "./state";

/** What the server refused, with every wrong field. */
export function Trouble() {
  const place = useRef<HTMLDivElement>(null);
  const now = trouble.value;
  useEffect(() => {
    if (now) place.current?.scrollIntoView({ block: "nearest" });
  }, [now]);
  if (!now) return null;
  return (
    <div class="trouble no-row" role="alert" ref={place}>
      <div class="line">
        <p class="grow">{now.detail}</p>
        <button type="button" class="btn btn-small" onClick={() => (trouble.value = null)}>
          Dismiss
        </button>
      </div>
      {now.faults.length > 0 && (
        <ul class="faults">
          {now.faults.slice(0, 50).map((fault) => (
            <li key={`${fault.field}${fault.message}`}>
              {fault.field !== "plan" && <b>{fieldWords(fault.field)}: </b>}
              {messageWords(fault)}
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}

/** What was just done; a screen reader hears it too. */
export function Done() {
  return (
    <p class="done" role="status" aria-live="polite">
      {done.value}
    </p>
  );
}

interface HeadProps {
  title: string;
  sub?: ComponentChildren;
  children?: ComponentChildren;
}

/** The head of a screen: its name, and what can be done on it. */
export function Head({ title, sub, children }: HeadProps) {
  useEffect(() => {
    const here = typeof sub === "string" && sub !== "" ? `${title}, ${sub}` : title;
    document.title = `${here} · Rowcall office`;
  }, [title, sub]);
  return (
    <header class="head">
      <div class="grow">
        <h1 tabIndex={-1}>{title}</h1>
        {sub && <p class="soft">{sub}</p>}
      </div>
      <div class="acts-line">
        {children}
        <HistoryLink />
      </div>
    </header>
  );
}

interface PickProps {
  id: string;
  label: string;
  value: string;
  options: readonly (readonly [string, string])[];
  onChange: (value: string) => void;
  quiet?: boolean;
}

/** A choice out of a list. */
export function Pick({ id, label, value, options, onChange, quiet = false }: PickProps) {
  return (
    <div class="field field-tight">
      <label for={id} class={quiet ? "unseen" : undefined}>
        {label}
      </label>
      <select id={id} value={value} onChange={(event) => onChange(event.currentTarget.value)}>
        {options.map(([key, word]) => (
          <option key={key} value={key}>
            {word}
          </option>
        ))}
      </select>
    </div>
  );
}

interface TickProps {
  id?: string;
  checked: boolean;
  onChange: (checked: boolean) => void;
  children: ComponentChildren;
  some?: boolean;
}

/** A box to tick, with its words; `some`: part of what it stands for is ticked. */
export function Tick({ id, checked, onChange, children, some = false }: TickProps) {
  const box = useRef<HTMLInputElement>(null);
  useEffect(() => {
    if (box.current) box.current.indeterminate = some;
  }, [some]);
  return (
    <label class="tick">
      <input
        ref={box}
        id={id}
        type="checkbox"
        checked={checked}
        onChange={(event) => onChange(event.currentTarget.checked)}
      />
      <span>{children}</span>
    </label>
  );
}

/** A word with a picture when there is nothing to show. */
export function Empty({ children }: { children: ComponentChildren }) {
  return (
    <div class="empty">
      <Icon name="open" size={40} />
      <div>{children}</div>
    </div>
  );
}

export function Small(props: {
  onPress: () => void;
  children: ComponentChildren;
  label?: string;
  id?: string;
  pressed?: boolean;
  /** Nothing to do: said, and still reached by the keyboard. */
  off?: boolean;
}) {
  return (
    <button
      type="button"
      class="btn btn-small"
      id={props.id}
      aria-label={props.label}
      aria-pressed={props.pressed}
      aria-disabled={props.off || undefined}
      onClick={() => props.off || props.onPress()}
    >
      {props.children}
    </button>
  );
}

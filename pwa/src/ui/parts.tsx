/** Small parts that every screen shares. */
import type { ComponentChildren } from "preact";
import { Icon, type IconName } from "./icon";

type Tone = "plain" | "main" | "stop" | "ask" | "bare" | "left";

interface ButtonProps {
  icon?: IconName;
  tone?: Tone;
  onPress: () => void;
  children: ComponentChildren;
  pressed?: boolean;
  busy?: boolean;
  id?: string;
  label?: string;
}

/** A control with word and picture, never below 48 px. */
export function Button(props: ButtonProps) {
  const { icon, tone = "plain", onPress, children, pressed, busy = false, id, label } = props;
  return (
    <button
      type="button"
      id={id}
      class={tone === "plain" ? "btn" : `btn btn-${tone}`}
      aria-pressed={pressed}
      aria-label={label}
      aria-disabled={busy || undefined}
      onClick={() => !busy && onPress()}
    >
      {icon && <Icon name={icon} size={tone === "main" ? 32 : 24} />}
      <span>{children}</span>
    </button>
  );
}

/** A count with a large minus and plus. */
export function Steps(props: {
  value: number;
  least?: number;
  most?: number;
  onChange: (value: number) => void;
  less: string;
  more: string;
  name: string;
}) {
  const { value, least = 0, most = 99, onChange, less, more, name } = props;
  return (
    <div class="steps" role="group" aria-label={name}>
      <button
        type="button"
        class="btn"
        aria-label={less}
        onClick={() => onChange(Math.max(least, value - 1))}
      >
        <Icon name="minus" size={32} />
      </button>
      <output>{value}</output>
      <button
        type="button"
        class="btn"
        aria-label={more}
        onClick={() => onChange(Math.min(most, value + 1))}
      >
        <Icon name="plus" size={32} />
      </button>
    </div>
  );
}

/** A choice of a few large buttons, one of them pressed. */
export function Choice<T extends string>(props: {
  name: string;
  value: T | null;
  options: readonly { value: T; word: string; icon?: IconName }[];
  onChange: (value: T) => void;
}) {
  return (
    <div class="pair" role="radiogroup" aria-label={props.name}>
      {props.options.map((option) => (
        <button
          key={option.value}
          type="button"
          role="radio"
          class="btn"
          aria-checked={props.value === option.value}
          onClick={() => props.onChange(option.value)}
        >
          {option.icon && <Icon name={option.icon} />}
          <span>{option.word}</span>
        </button>
      ))}
    </div>
  );
}

export function Field(props: {
  id: string;
  label: string;
  value: string;
  onInput: (value: string) => void;
  code?: boolean;
  secret?: boolean;
  mode?: "text" | "numeric" | "decimal";
  autocomplete?: string;
  hint?: string;
}) {
  const { id, label, value, onInput, code = false, secret = false, hint } = props;
  const common = {
    id,
    value,
    class: code ? "entry-code" : undefined,
    inputMode: props.mode ?? "text",
    autocomplete: props.autocomplete ?? "off",
    autocapitalize: code ? "characters" : "sentences",
    spellcheck: false,
    "aria-describedby": hint ? `${id}-hint` : undefined,
    onInput: (event: { currentTarget: HTMLInputElement }) => onInput(event.currentTarget.value),
  } as const;
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input {...(secret ? { type: "password" } : {})} {...common} />
      {hint && (
        <p id={`${id}-hint`} class="soft">
          {hint}
        </p>
      )}
    </div>
  );
}

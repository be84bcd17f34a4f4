/** Fields of forms: text, lengths, masses and whole numbers, each with its unit. */
import { useState } from "preact/hooks";
import { lengthUnit, massUnit, readLength, readMass, typedLength, typedMass } from "./units";

interface EntryProps<T> {
  id: string;
  label: string;
  value: T;
  onChange: (value: T) => void;
  hint?: string;
  /** Not kept without it: the browser says so and goes there. */
  needed?: boolean;
}

export function Text(props: EntryProps<string> & { most?: number; list?: readonly string[] }) {
  const { id, label, value, onChange, hint, most = 80, list, needed } = props;
  return (
    <div class="field field-tight">
      <label for={id}>{label}</label>
      <input
        id={id}
        value={value}
        maxLength={most}
        required={needed}
        autocomplete="off"
        list={list ? `${id}-list` : undefined}
        aria-describedby={hint ? `${id}-hint` : undefined}
        onInput={(event) => onChange(event.currentTarget.value)}
      />
      {list && (
        <datalist id={`${id}-list`}>
          {list.map((one) => (
            <option key={one} value={one} />
          ))}
        </datalist>
      )}
      {hint && (
        <p id={`${id}-hint`} class="soft">
          {hint}
        </p>
      )}
    </div>
  );
}

interface MeasureProps extends EntryProps<number | null> {
  read: (text: string) => number | null;
  typed: (value: number | null) => string;
  unit: string;
}

/** A number as it was typed, kept until it is one; NaN tells the form that it is none. */
function Measure({ id, label, value, onChange, read, typed, unit, hint }: MeasureProps) {
  const [text, setText] = useState(typed(value));
  const shown = Object.is(read(text), value) ? text : typed(value);
  const wrong = Number.isNaN(value ?? 0);
  return (
    <div class="field field-tight">
      <label for={id}>
        {label} <span class="soft">{unit}</span>
      </label>
      <input
        id={id}
        value={wrong ? text : shown}
        inputMode="decimal"
        autocomplete="off"
        aria-invalid={wrong || undefined}
        aria-describedby={hint ? `${id}-hint` : undefined}
        onFocus={(event) => event.currentTarget.select()}
        onInput={(event) => {
          setText(event.currentTarget.value);
          onChange(read(event.currentTarget.value));
        }}
      />
      {wrong && <p class="soft">A number, such as 60.5</p>}
      {hint && (
        <p id={`${id}-hint`} class="soft">
          {hint}
        </p>
      )}
    </div>
  );
}

export const Length = (props: EntryProps<number | null>) => (
  <Measure {...props} read={readLength} typed={typedLength} unit={lengthUnit()} />
);

export const Mass = (props: EntryProps<number | null>) => (
  <Measure {...props} read={readMass} typed={typedMass} unit={massUnit()} />
);

const percent = (text: string): number | null => {
  const value = Number(text.replace(",", "."));
  return text.trim() === "" ? null : Number.isFinite(value) ? value / 100 : Number.NaN;
};

export const Percent = (props: EntryProps<number | null>) => (
  <Measure
    {...props}
    read={percent}
    typed={(value) => (value === null ? "" : String(Number((value * 100).toFixed(2))))}
    unit="%"
  />
);

const whole = (text: string): number | null =>
  text.trim() === "" ? null : /^\d+$/.test(text.trim()) ? Number(text) : Number.NaN;

export const Count = (props: EntryProps<number | null>) => (
  <Measure
    {...props}
    read={whole}
    typed={(value) => (value === null ? "" : String(value))}
    unit=""
  />
);

/** Fields for numbers: an empty one is empty, a wrong one is named beside it and gets the focus. */
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import type { EntryProps } from "./text-field";
import * as measures from "../../core/measures";
import { faultOf, whyNot, type Bounds } from "./number-error";
import { lengthUnit, massUnit, readLength, readMass, typedLength, typedMass } from "./units";

interface MeasureProps extends EntryProps<number | null>, Bounds {
  read: (text: string) => number | null;
  typed: (value: number | null) => string;
  /** Why a text is none, where more than "a number" can be said. */
  why?: (text: string) => string;
  unit: string;
  such: string;
  /** What an empty field stands for: not known, nothing, or NaN for what the form cannot do without. */
  blank?: number | null;
}

/** A number as it was typed, kept until it is one; NaN tells the form that it is none. */
function Measure(props: MeasureProps) {
  const {
    id,
    label,
    value,
    onChange,
    read,
    typed,
    unit,
    hint,
    blank = null,
    why = () => "",
  } = props;
  const show = (one: number | null) =>
    Object.is(one, blank) || Number.isNaN(one ?? 0) ? "" : typed(one);
  const [text, setText] = useState(show(value));
  const [asked, setAsked] = useState(false);
  const shown = Object.is(read(text) ?? blank, value) ? text : show(value);
  const fault = shown.trim() === "" ? "" : why(shown) || faultOf(value, props);
  const lacks = Number.isNaN(blank) && shown.trim() === "";
  const told = lacks && asked ? `Needed: a number, such as ${props.such}` : fault;
  const input = useRef<HTMLInputElement>(null);
  // The browser then keeps the form back, says it at the field and goes there.
  useLayoutEffect(() => input.current?.setCustomValidity(fault), [fault]);
  const described = [told && `${id}-wrong`, hint && `${id}-hint`].filter(Boolean).join(" ");
  return (
    <div class="field field-tight">
      <label for={id}>
        {label} <span class="soft">{unit}</span>
      </label>
      <input
        ref={input}
        id={id}
        value={shown}
        inputMode={props.least === "any" || props.why ? "text" : "decimal"}
        autocomplete="off"
        required={Number.isNaN(blank)}
        aria-invalid={told !== "" || undefined}
        aria-describedby={described || undefined}
        onFocus={(event) => event.currentTarget.select()}
        onInvalid={() => setAsked(true)}
        onInput={(event) => {
          setText(event.currentTarget.value);
          onChange(read(event.currentTarget.value) ?? blank);
        }}
      />
      {told && (
        <p id={`${id}-wrong`} class="bad">
          {told}
        </p>
      )}
      {hint && (
        <p id={`${id}-hint`} class="soft">
          {hint}
        </p>
      )}
    </div>
  );
}

type Maybe = EntryProps<number | null> & Bounds;
/** `blank`: what an empty field stands for; NaN, where nothing else is said: it is needed. */
type Sure = EntryProps<number> & Bounds & { blank?: number };

const asLength = () => ({
  read: readLength,
  typed: typedLength,
  unit: lengthUnit(),
  such: "60.5",
  why: (text: string) => whyNot(measures.readLength(text, lengthUnit()), lengthUnit()),
});
const asMass = () => ({
  read: readMass,
  typed: typedMass,
  unit: massUnit(),
  such: "60.5",
  why: (text: string) => whyNot(measures.readMass(text, massUnit()), massUnit()),
});

/** A length that may be not known: null. */
export const Length = (props: Maybe) => <Measure least="above" {...props} {...asLength()} />;

/** A length that the form cannot do without. */
export const SureLength = ({ onChange, blank = Number.NaN, ...props }: Sure) => (
  <Measure
    least="above"
    {...props}
    {...asLength()}
    blank={blank}
    onChange={(value) => onChange(value ?? blank)}
  />
);

/** A mass that may be not known: null. */
export const Mass = (props: Maybe) => <Measure least="zero" {...props} {...asMass()} />;

/** A mass that the form cannot do without, or of which 0 says that nobody has weighed it. */
export const SureMass = ({ onChange, blank = Number.NaN, ...props }: Sure) => (
  <Measure
    least="zero"
    {...props}
    {...asMass()}
    blank={blank}
    onChange={(value) => onChange(value ?? blank)}
  />
);

const hundredths = (text: string): number | null => {
  const value = Number(text.trim().replace(",", "."));
  return text.trim() === "" ? null : Number.isFinite(value) ? Math.round(value * 100) : Number.NaN;
};

/** An amount of money or another number with two decimals, in whole hundredths; null: not known. */
export const Amount = ({ unit = "", ...props }: Maybe & { unit?: string }) => (
  <Measure
    least="zero"
    {...props}
    read={hundredths}
    typed={(value) => (value === null ? "" : String(value / 100))}
    unit={unit}
    such="129.50"
  />
);

const percent = (text: string): number | null => {
  const value = Number(text.replace(",", "."));
  return text.trim() === "" ? null : Number.isFinite(value) ? value / 100 : Number.NaN;
};

export const Percent = (props: Maybe) => (
  <Measure
    least="zero"
    most={1}
    {...props}
    read={percent}
    typed={(value) => (value === null ? "" : String(Number((value * 100).toFixed(2))))}
    unit="%"
    such="12.5"
  />
);

const whole = (text: string): number | null =>
  text.trim() === "" ? null : /^\d+$/.test(text.trim()) ? Number(text) : Number.NaN;

const asCount = {
  read: whole,
  typed: (value: number | null) => (value === null ? "" : String(value)),
  unit: "",
  such: "12",
};

/** A count that may be not known: null. */
export const Count = (props: Maybe) => (
  <Measure least="zero" most={1_000} {...props} {...asCount} />
);

/** A count that the form cannot do without, or of which an empty field means none. */
export const SureCount = ({ onChange, blank = Number.NaN, ...props }: Sure) => (
  <Measure
    least="zero"
    most={1_000}
    {...props}
    {...asCount}
    blank={blank}
    onChange={(value) => onChange(value ?? blank)}
  />
);

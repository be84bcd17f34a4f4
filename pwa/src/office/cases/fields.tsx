/** One field of a form for each column of a case, chosen by its kind; new columns need nothing here. */
import { useState } from "preact/hooks";
import { CASE_COLUMNS, type CaseColumn } from "../shared/case-columns";
import type { FleetCase } from "../shared/api-types";
import { Pick, Tick } from "../shared/controls";
import { Mass, SureLength, SureMass } from "../shared/number-field";
import { Text } from "../shared/text-field";

type Value = string | number | boolean | null | readonly string[];

/** Words that stand in files as `on_end`, as people read them: "On end". */
export const readable = (word: string): string =>
  word.charAt(0).toUpperCase() + word.slice(1).replaceAll("_", " ");

export const options = (column: CaseColumn): readonly (readonly [string, string])[] =>
  column.choices.map((word) => [word, readable(word)]);

/** What a new case has: nothing measured, everything else as the server takes it. */
export const newCase = (): FleetCase => {
  const part = (name: CaseColumn["part"]) =>
    Object.fromEntries(
      CASE_COLUMNS.filter((column) => column.part === name).map((column) => [
        column.field,
        column.kind === "length" ? Number.NaN : (column.initial ?? (column.required ? "" : null)),
      ]),
    );
  return { ...part("case"), notes: part("notes") } as unknown as FleetCase;
};

interface FieldProps {
  column: CaseColumn;
  value: Value;
  onChange: (value: Value) => void;
  list?: readonly string[];
}

export function CaseField({ column, value, onChange, list }: FieldProps) {
  const { kind, label, hint } = column;
  const id = `case-${column.field.replace(/_(um|g)$/, "")}`;
  const shared = { id, label, ...(hint ? { hint } : {}), onChange };
  if (kind === "length") return <SureLength {...shared} value={value as number} />;
  if (kind === "mass")
    return column.initial === null ? (
      <Mass {...shared} value={value as number | null} />
    ) : (
      <SureMass {...shared} blank={0} value={value as number} />
    );
  if (kind === "flag")
    return (
      <Tick id={id} checked={value as boolean} onChange={onChange}>
        {label}
      </Tick>
    );
  if (kind === "choice")
    return <Pick {...shared} value={value as string} options={options(column)} />;
  if (kind === "stances")
    return <Words column={column} value={value as readonly string[]} onChange={onChange} />;
  if (kind === "codes") return <Codes {...shared} value={value as readonly string[]} />;
  return (
    <Text {...shared} most={column.longest} value={value as string} {...(list ? { list } : {})} />
  );
}

/** One tick for each word; the last one stays. */
function Words({ column, value, onChange }: FieldProps & { value: readonly string[] }) {
  const change = (word: string, on: boolean) => {
    const next = column.choices.filter((each) => (each === word ? on : value.includes(each)));
    if (next.length > 0) onChange(next);
  };
  return (
    <>
      {options(column).map(([word, shown]) => (
        <Tick key={word} checked={value.includes(word)} onChange={(on) => change(word, on)}>
          {shown}
        </Tick>
      ))}
    </>
  );
}

interface CodesProps {
  id: string;
  label: string;
  value: readonly string[];
  onChange: (value: Value) => void;
}

/** Codes of other cases, with commas between. */
function Codes({ id, label, value, onChange }: CodesProps) {
  const [text, setText] = useState(value.join(", "));
  const change = (typed: string) => {
    setText(typed);
    onChange(
      typed
        .split(/[\s,;]+/)
        .filter(Boolean)
        .map((code) => code.toUpperCase()),
    );
  };
  const hint = "Codes of other cases, with commas between.";
  return <Text id={id} label={label} most={400} value={text} onChange={change} hint={hint} />;
}

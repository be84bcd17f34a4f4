/** Fields of forms: what all have, and the field for text; those for numbers: measure.tsx. */

export interface EntryProps<T> {
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

/** The lines that need a person: mended on the page, or left out. */
import { Length, Mass } from "../shared/number-field";
import { Small } from "../shared/controls";
import { Text } from "../shared/text-field";
import { lacks, type ListLine } from "./list-lines";

interface MendProps {
  lines: readonly ListLine[];
  open: readonly ListLine[];
  codes: ReadonlyMap<string, number>;
  onChange: (row: ListLine, next: ListLine | null) => void;
}

const MOST_SHOWN = 100;

export function ListMend({ open, codes, onChange }: MendProps) {
  if (open.length === 0) return null;
  return (
    <section class="card stack" id="mend">
      <h2>{open.length === 1 ? "1 line needs you" : `${open.length} lines need you`}</h2>
      <p class="soft">
        Mend them here, leave them out, or import the others now: what is left can come later.
      </p>
      {open.slice(0, MOST_SHOWN).map((line) => (
        <MendLine key={`${line.row}.${line.part}`} {...{ line, codes, onChange }} />
      ))}
      {open.length > MOST_SHOWN && <p>{`And ${open.length - MOST_SHOWN} more.`}</p>}
    </section>
  );
}

function MendLine(props: {
  line: ListLine;
  codes: ReadonlyMap<string, number>;
  onChange: MendProps["onChange"];
}) {
  const { line, codes, onChange } = props;
  const missing = lacks(line, codes);
  const said = line.part ? `${line.row}, ${line.code},` : `${line.row}`;
  const id = `mend-${line.row}${line.part ? `-${line.part}` : ""}`;
  const put = (change: Partial<ListLine>) => onChange(line, { ...line, ...change });
  return (
    <fieldset class="mend" id={id}>
      <legend>
        {`Line ${line.row}: `}
        <span class="code">{line.code || "no number"}</span> {line.name}
      </legend>
      <ul class="faults">
        {line.asks.map((ask) => (
          <li key={ask.why}>{ask.why}</li>
        ))}
      </ul>
      <div class="sieve">
        <MendFields {...{ id, line, put }} />
        <Small
          id={`${id}-good`}
          off={missing !== ""}
          label={`Line ${said} is right as it stands here`}
          onPress={() => put({ asks: [] })}
        >
          This is right
        </Small>
        <Small
          label={`Leave out line ${line.part ? `${line.row}, ${line.code}` : line.row}`}
          onPress={() => onChange(line, null)}
        >
          Leave out
        </Small>
      </div>
      {missing && <p class="soft">{missing}</p>}
    </fieldset>
  );
}

function MendFields(props: {
  id: string;
  line: ListLine;
  put: (change: Partial<ListLine>) => void;
}) {
  const { id, line, put } = props;
  return (
    <>
      <Text id={`${id}-code`} label="Number" value={line.code} onChange={(code) => put({ code })} />
      <Length
        id={`${id}-l`}
        label="Length"
        value={line.length_um}
        onChange={(length_um) => put({ length_um })}
      />
      <Length
        id={`${id}-w`}
        label="Width"
        value={line.width_um}
        onChange={(width_um) => put({ width_um })}
      />
      <Length
        id={`${id}-h`}
        label="Height"
        value={line.height_um}
        onChange={(height_um) => put({ height_um })}
      />
      <Mass
        id={`${id}-m`}
        label="Weight"
        value={line.mass_g}
        onChange={(mass_g) => put({ mass_g })}
      />
    </>
  );
}

/** What the columns of a list hold and in which units, proposed and corrected by choosing. */
import { Pick } from "../shared/controls";
import { ROLES, type Choices, type Proposal } from "./list-lines";

const LENGTHS = [
  ["", "As found"],
  ["in", "Inches"],
  ["cm", "Centimetres"],
  ["mm", "Millimetres"],
  ["m", "Metres"],
] as const;
const MASSES = [
  ["", "As found"],
  ["lb", "Pounds"],
  ["kg", "Kilograms"],
] as const;

interface ColumnsProps {
  found: Proposal;
  choices: Choices;
  onChange: (choices: Choices) => void;
}

export function ListColumns({ found, choices, onChange }: ColumnsProps) {
  const roles: Record<string, number> = {};
  for (const one of found.columns)
    if (one.role && one.role !== "note") roles[one.role] = one.column;
  const assign = (column: number, role: string) => {
    const left = Object.entries(roles).filter(([key, at]) => at !== column && key !== role);
    const columns = Object.fromEntries(
      role === "" || role === "note" ? left : [...left, [role, column]],
    );
    onChange({ ...choices, heading: found.heading, columns });
  };
  const sheets = found.sheets.filter((one) => one.cases > 0 || one.name === found.sheet);
  return (
    <section class="card stack" id="columns">
      <h2>Columns and units</h2>
      {found.questions.map((one) => (
        <p key={one.why} class="ask-line">
          {one.why}
        </p>
      ))}
      <div class="sieve">
        {sheets.length > 1 && (
          <Pick
            id="list-sheet"
            label="Sheet"
            value={found.sheet}
            options={sheets.map((one) => [one.name, `${one.name} (${one.cases})`] as const)}
            onChange={(sheet) => onChange({ sheet })}
          />
        )}
        <UnitPick
          id="list-length"
          label="Sides without a unit"
          what="length"
          {...{ found, choices, onChange }}
        />
        <UnitPick
          id="list-mass"
          label="Weights without a unit"
          what="mass"
          {...{ found, choices, onChange }}
        />
      </div>
      <ColumnTable found={found} assign={assign} />
    </section>
  );
}

function ColumnTable(props: { found: Proposal; assign: (column: number, role: string) => void }) {
  const { found, assign } = props;
  return (
    <div class="wide-table">
      <table class="plain">
        <thead>
          <tr>
            <th scope="col">Column</th>
            <th scope="col">Holds</th>
            <th scope="col">Such as</th>
          </tr>
        </thead>
        <tbody>
          {found.columns
            .filter((one) => one.sample.length > 0)
            .map((one) => (
              <tr key={one.column}>
                <th scope="row">{one.heading || `Column ${one.column}`}</th>
                <td>
                  <Pick
                    id={`role-${one.column}`}
                    label={`What ${one.heading || `column ${one.column}`} holds`}
                    quiet
                    value={one.role}
                    options={ROLES}
                    onChange={(role) => assign(one.column, role)}
                  />
                </td>
                <td class="soft">{one.sample.join(" · ")}</td>
              </tr>
            ))}
        </tbody>
      </table>
    </div>
  );
}

interface UnitProps extends ColumnsProps {
  id: string;
  label: string;
  what: "length" | "mass";
}

function UnitPick({ id, label, what, found, choices, onChange }: UnitProps) {
  const now =
    what === "mass" ? found.units["mass"] : (found.units["length"] ?? found.units["sides"]);
  const options = (what === "mass" ? MASSES : LENGTHS).map(
    ([key, words]) => [key, key === "" && now ? `As found: ${now}` : words] as const,
  );
  return (
    <Pick
      id={id}
      label={label}
      value={choices.units?.[what] ?? ""}
      options={options}
      onChange={(unit) => {
        const units = { ...choices.units };
        if (unit === "") delete units[what];
        else units[what] = unit;
        onChange({ ...choices, units });
      }}
    />
  );
}

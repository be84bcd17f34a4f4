/** The owner's rules for one show: which securing rules count, straps at least, whose hands. */
import { SureCount } from "../shared/number-field";

type Rules = Readonly<Record<string, unknown>>;

interface RulesPartProps {
  rules: Rules;
  onChange: (rules: Rules) => void;
}

/** Names of the server, and what they mean to an owner. */
const SECURING = {
  "us-49cfr393": "49 CFR 393 (United States)",
  "en-12195": "EN 12195-1 with the CTU Code (Europe)",
} as const;
const HANDS = {
  men: "Men (HSE): 20 kg of push to start, 10 kg to keep going",
  mixed: "Mixed (HSE): 15 kg of push to start, 7 kg to keep going",
} as const;

export function RulesPart({ rules, onChange }: RulesPartProps) {
  const straps = rules["straps_min"];
  return (
    <fieldset class="card form form-wide">
      <legend>Rules</legend>
      <Pick
        id="rule-securing"
        label="Straps are counted by"
        options={SECURING}
        value={rules["securing"]}
        onChange={(securing) => onChange({ ...rules, securing })}
      />
      <SureCount
        id="rule-straps"
        label="Straps of a row at least"
        most={20}
        value={typeof straps === "number" ? straps : 1}
        onChange={(straps_min) => onChange({ ...rules, straps_min })}
      />
      <Pick
        id="rule-hands"
        label="People are counted for"
        options={HANDS}
        value={rules["hands"]}
        onChange={(hands) => onChange({ ...rules, hands })}
      />
      <p class="caution">
        Planning figures. Local law, the vehicle's plate, the makers' ratings and a competent person
        decide.
      </p>
    </fieldset>
  );
}

function Pick(props: {
  id: string;
  label: string;
  options: Readonly<Record<string, string>>;
  value: unknown;
  onChange: (value: string) => void;
}) {
  const { id, label, options, value, onChange } = props;
  return (
    <div class="field field-tight">
      <label for={id}>{label}</label>
      <select id={id} onChange={(event) => onChange(event.currentTarget.value)}>
        {Object.entries(options).map(([name, words], place) => (
          <option key={name} value={name} selected={value === name || (!value && place === 0)}>
            {words}
          </option>
        ))}
      </select>
    </div>
  );
}

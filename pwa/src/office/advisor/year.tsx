/** Changes of the fleet, judged by the shop's own shows: replace, buy, sell, lids that stack. */
import { useState } from "preact/hooks";
import { AskLine, useAdvice } from "./ask";
import { ChangeForm, type Change } from "./change-form";
import { YearAnswer, type Year } from "./year-answer";
import { Count } from "../shared/number-field";
import { shows } from "../shared/state";
import { day } from "../shared/units";

const MOST_CHANGES = 8;
const MOST_SHOWS = 60;

export function YearPart() {
  const asking = useAdvice<Year>();
  const [changes, setChanges] = useState<readonly Change[]>([]);
  const [times, setTimes] = useState<Record<string, number>>({});
  const ask = () => void asking.ask({ part: "year", changes, times, shows: Object.keys(times) });
  const year = asking.now?.answer;
  return (
    <>
      <ChangeForm
        full={changes.length >= MOST_CHANGES}
        onAdd={(change) => setChanges([...changes, change])}
      />
      <section class="card stack" aria-label="Changes to judge">
        <h2>Changes to judge</h2>
        {changes.length === 0 && (
          <p class="soft">None yet: without one you see what each kind costs as it is.</p>
        )}
        <ul class="plain-list">
          {changes.map((each, index) => (
            <li key={index} class="line">
              <span class="grow">
                {each.name}, {each.codes.length} cases
              </span>
              <button
                type="button"
                class="btn btn-small"
                onClick={() => setChanges(changes.filter((_, other) => other !== index))}
              >
                Remove
              </button>
            </li>
          ))}
        </ul>
        <Mix times={times} onChange={setTimes} />
        <AskLine id="ask-year" word="Judge by these shows" asking={asking} onAsk={ask} />
      </section>
      {year && <YearAnswer year={year} />}
    </>
  );
}

/** Which shows judge, and how often each is played: the typical mix of a year. */
function Mix(props: {
  times: Record<string, number>;
  onChange: (times: Record<string, number>) => void;
}) {
  const { times, onChange } = props;
  const set = (id: string, value: number | null) => {
    const { [id]: _, ...rest } = times;
    onChange(value === null || !(value > 0) ? rest : { ...rest, [id]: value });
  };
  return (
    <details class="stack">
      <summary>
        {Object.keys(times).length === 0
          ? "The newest 60 shows, each once. Choose a typical mix instead"
          : `${Object.keys(times).length} shows chosen`}
      </summary>
      <div class="form">
        {(shows.value ?? []).slice(0, MOST_SHOWS).map((each) => (
          <Count
            key={each.id}
            id={`times-${each.id}`}
            label={`${each.name}, ${day(each.date)}: times a year`}
            value={times[each.id] ?? null}
            onChange={(value) => set(each.id, value)}
          />
        ))}
      </div>
    </details>
  );
}

/** What is wrong with a plan before the crew gets it; each with its way out, or a word for what stays. */
import { useEffect, useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import { call } from "../shared/api";
import { To } from "../shared/router";
import { tried } from "../shared/state";
import { Text } from "../shared/text-field";

interface Concern {
  key: string;
  title: string;
  lines: string[];
  way: string;
  page: string;
}

interface BeforeIssueProps {
  address: string;
  /** The revision that the page shows as issued. */
  issued: number;
  onIssued: () => Promise<void>;
  onCancel: () => void;
}

const MOST_SHOWN = 8;

export function BeforeIssue({ address, issued, onIssued, onCancel }: BeforeIssueProps) {
  const [concerns, setConcerns] = useState<Concern[] | null>(null);
  const [words, setWords] = useState<Record<string, string>>({});
  useEffect(() => {
    void tried(() => call<Concern[]>("GET", `${address}/concerns`)).then(setConcerns);
  }, [address]);
  if (concerns === null) return <p role="status">Looking at the plan once more.</p>;
  const open = concerns.filter((one) => (words[one.key] ?? "").trim() === "");
  const issue = async () => {
    if (await tried(() => call("POST", `${address}/issue`, { words, instead_of: issued })))
      await onIssued();
  };
  return (
    <section class="card stack" id="before-issue" aria-label="Before issue">
      <h3>{concerns.length === 0 ? "Nothing speaks against it" : "Before the crew gets it"}</h3>
      {concerns.map((one) => (
        <OneConcern
          key={one.key}
          concern={one}
          word={words[one.key] ?? ""}
          onChange={(word) => setWords({ ...words, [one.key]: word })}
        />
      ))}
      <div class="acts-line">
        <Button
          id="issue-now"
          icon="hand"
          tone="ask"
          busy={open.length > 0}
          onPress={() => void issue()}
        >
          Issue it to the crew
        </Button>
        <Button onPress={onCancel}>Not yet</Button>
        {open.length > 0 && (
          <p class="soft">{`${open.length} of these need a way out, or a word why it stays.`}</p>
        )}
      </div>
    </section>
  );
}

function OneConcern(props: { concern: Concern; word: string; onChange: (word: string) => void }) {
  const { concern, word, onChange } = props;
  return (
    <div class="ask-line" id={`concern-${concern.key}`}>
      <p>
        <b>{concern.title}</b>
      </p>
      <ul class="faults">
        {concern.lines.slice(0, MOST_SHOWN).map((line) => (
          <li key={line}>{line}</li>
        ))}
        {concern.lines.length > MOST_SHOWN && (
          <li>{`and ${concern.lines.length - MOST_SHOWN} more`}</li>
        )}
      </ul>
      <p>
        {concern.way}{" "}
        {concern.page && (
          <To to={concern.page} class="btn btn-small">
            Go there
          </To>
        )}
      </p>
      <Text
        id={`word-${concern.key}`}
        label="It stays, because"
        most={200}
        value={word}
        onChange={onChange}
      />
    </div>
  );
}

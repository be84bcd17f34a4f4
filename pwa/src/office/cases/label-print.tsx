/** Labels of the picked cases: on which paper, for which faces, from which free place on. */
import { useState } from "preact/hooks";
import { save } from "../shared/api";
import { Pick, Small } from "../shared/controls";
import { tried } from "../shared/state";

/** Sheets with how many labels each holds; rolls in mm, as most label printers take them. */
const PAPERS = [
  ["a4", "A4, four a sheet", 4],
  ["a4_large", "A4, two large ones", 2],
  ["a4_whole", "A4, one for 3 m", 1],
  ["letter", "Letter, four a sheet", 4],
  ["letter_large", "Letter, two large ones", 2],
  ["letter_whole", "Letter, one for 3 m", 1],
  ["102x152", "Roll, 4 x 6 in (102 x 152 mm)", 1],
  ["100x150", "Roll, 100 x 150 mm", 1],
  ["102x51", "Roll, 4 x 2 in (102 x 51 mm)", 1],
  ["62x100", "Roll, 62 x 100 mm", 1],
] as const;

const FACES = [
  ["ends lid side", "Both ends, lid and one side"],
  ["ends", "Both ends"],
  ["lid", "Lid"],
  ["side", "One side"],
] as const;

const COUNTS = [1, 2, 3, 4, 5, 10] as const;

const CONTACT = "rowcall-label-contact";

/** The contact line of the last print; nothing where the browser keeps nothing. */
function lastContact(): string {
  try {
    return localStorage.getItem(CONTACT) ?? "";
  } catch {
    return "";
  }
}

function keepContact(contact: string): void {
  try {
    localStorage.setItem(CONTACT, contact);
  } catch {
    // it is typed again next time
  }
}

export function LabelPrint({ codes }: { codes: readonly string[] }) {
  const [paper, setPaper] = useState<string>("a4");
  const [faces, setFaces] = useState<string>("ends lid side");
  const [first, setFirst] = useState("1");
  const [count, setCount] = useState("1");
  const [contact, setContact] = useState(lastContact);
  const places = PAPERS.find(([key]) => key === paper)?.[2] ?? 1;
  const start = Math.min(Number(first), places);
  const print = () => {
    const roll = /^\d/.test(paper) ? { sheet: "roll", roll: paper } : { sheet: paper };
    const more = { first: start, count: Number(count), contact: contact.trim() };
    const body = { codes, ...roll, faces: faces.split(" "), ...more };
    keepContact(contact);
    void tried(() => save("/labels.pdf", "labels.pdf", body));
  };
  return (
    <>
      <Pick
        id="label-paper"
        label="Label paper"
        quiet
        value={paper}
        options={PAPERS.map(([key, word]) => [key, word] as const)}
        onChange={setPaper}
      />
      <Pick
        id="label-faces"
        label="Faces of the case"
        quiet
        value={faces}
        options={FACES}
        onChange={setFaces}
      />
      {places > 1 && <First places={places} value={start} onChange={setFirst} />}
      <Pick
        id="label-count"
        label="How many of each label"
        quiet
        value={count}
        options={COUNTS.map((many) => [String(many), `${many} of each`] as const)}
        onChange={setCount}
      />
      <Contact value={contact} onChange={setContact} />
      <Small id="labels" onPress={print}>
        Print labels
      </Small>
    </>
  );
}

function Contact({ value, onChange }: { value: string; onChange: (value: string) => void }) {
  return (
    <div class="field field-tight">
      <label for="label-contact" class="unseen">
        Whom to call when a case is found
      </label>
      <input
        id="label-contact"
        maxLength={80}
        placeholder="If found, call ..."
        value={value}
        onInput={(event) => onChange(event.currentTarget.value)}
      />
    </div>
  );
}

interface FirstProps {
  places: number;
  value: number;
  onChange: (value: string) => void;
}

/** Where a partly used sheet goes on. */
function First({ places, value, onChange }: FirstProps) {
  const options = Array.from({ length: places }, (_, at) => {
    const place = String(at + 1);
    return [place, `From place ${place}`] as const;
  });
  return (
    <Pick
      id="label-first"
      label="First free place on the sheet"
      quiet
      value={String(value)}
      options={options}
      onChange={onChange}
    />
  );
}

/** Labels of the picked cases: on which paper, for which faces, from which free place on. */
import { useState } from "preact/hooks";
import { save } from "../shared/api";
import { Pick, Small } from "../shared/controls";
import { tried } from "../shared/state";

/** Sheets with how many labels each holds; rolls in mm, as most label printers take them. */
const PAPERS = [
  ["a4", "A4, four a sheet", 4],
  ["a4_large", "A4, two large ones", 2],
  ["letter", "Letter, four a sheet", 4],
  ["letter_large", "Letter, two large ones", 2],
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

export function LabelPrint({ codes }: { codes: readonly string[] }) {
  const [paper, setPaper] = useState<string>("a4");
  const [faces, setFaces] = useState<string>("ends lid side");
  const [first, setFirst] = useState("1");
  const places = PAPERS.find(([key]) => key === paper)?.[2] ?? 1;
  const start = Math.min(Number(first), places);
  const print = () => {
    const roll = /^\d/.test(paper) ? { sheet: "roll", roll: paper } : { sheet: paper };
    const body = { codes, ...roll, faces: faces.split(" "), first: start };
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
      {places > 1 && (
        <Pick
          id="label-first"
          label="First free place on the sheet"
          quiet
          value={String(start)}
          options={Array.from({ length: places }, (_, at) => {
            const place = String(at + 1);
            return [place, `From place ${place}`] as const;
          })}
          onChange={setFirst}
        />
      )}
      <Small id="labels" onPress={print}>
        Print labels
      </Small>
    </>
  );
}

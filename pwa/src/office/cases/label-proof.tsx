/** Whether a printer is fit for labels, and what to print them on. */
import { useState } from "preact/hooks";
import { put, save } from "../shared/api";
import { Pick, Small } from "../shared/controls";
import { tried } from "../shared/state";

interface Proof {
  read_mm: number[];
  missing_mm: number[];
  good: boolean;
  advice: string;
}

/** Common practice, no source: no maker is named, and the label's own maker comes first. */
const ADVICE = [
  "Stock: polyester or polypropylene, matt and white, for a thermal-transfer printer with a resin ribbon. Office paper tears at the first rain: use it for one show, under film.",
  "Adhesive: permanent and strong, for rough or low-energy surfaces (textured panels, powder paint). Clean with alcohol, let it dry, press from the middle out, and give it a day before the first truck.",
  "Film: matt and clear, a finger's width over the label on every side. Glossy film mirrors lamps, and a code under a reflection is not read.",
  "Place: both ends, the lid and one long side, on a flat part, away from catches, corners and where straps run. Never over a rating plate or a maker's mark.",
  "Renew a label when a corner lifts or a scratch crosses a square mark; keep the code, print one label again from the first free place.",
];

export function LabelProof() {
  const [paper, setPaper] = useState("a4");
  const [proof, setProof] = useState<Proof | null>(null);
  const [busy, setBusy] = useState(false);
  const page = () =>
    void tried(() => save(`/labels/test-page.pdf?paper=${paper}`, "printer-test-page.pdf"));
  const read = async (photo: File) => {
    setBusy(true);
    const type = photo.type === "" ? "application/octet-stream" : photo.type;
    setProof(await tried(() => put<Proof>("/labels/test-page", photo, type)));
    setBusy(false);
  };
  return (
    <details id="label-proof">
      <summary>Printer and material</summary>
      <div class="line line-wrap">
        <Pick
          id="proof-paper"
          label="Paper of the test page"
          quiet
          value={paper}
          options={[
            ["a4", "A4"],
            ["letter", "Letter"],
          ]}
          onChange={setPaper}
        />
        <Small id="proof-page" onPress={page}>
          Printer test page
        </Small>
        <label class={busy ? "btn btn-file is-busy" : "btn btn-file"}>
          <span>{busy ? "One moment" : "Check a printed test page"}</span>
          <input
            id="proof-photo"
            type="file"
            class="unseen"
            accept="image/*"
            disabled={busy}
            onChange={(event) => {
              const photo = event.currentTarget.files?.[0];
              event.currentTarget.value = "";
              if (photo) void read(photo);
            }}
          />
        </label>
      </div>
      <div id="proof-answer" role="status">
        {proof && (
          <p>
            <b>{proof.good ? "Good." : "Not good enough."}</b> {proof.advice}{" "}
            {proof.missing_mm.length > 0 && `Not read: ${proof.missing_mm.join(", ")} mm.`}
          </p>
        )}
      </div>
      <Advice />
    </details>
  );
}

const Advice = () => (
  <>
    <ul>
      {ADVICE.map((line) => (
        <li key={line}>{line}</li>
      ))}
    </ul>
    <p class="soft">Common practice, no source. What the maker of the material says comes first.</p>
  </>
);

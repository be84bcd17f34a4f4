/** A photo of a whole row: every label in it is read at once and held against what is due there. */
import { useRef, useState } from "preact/hooks";
import { readRowPhoto, takeRowPhoto, type RowRead } from "../../app-model-chief";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Button } from "../../ui/parts";
import { ChecksFirst, checksFirst } from "../shared/checks-first";
import { caseName } from "../shared/names";
import { Said } from "../shared/server-text";

export function RowPhoto({ row }: { row: number }) {
  const input = useRef<HTMLInputElement>(null);
  const [busy, setBusy] = useState(false);
  const [photo, setPhoto] = useState<File | null>(null);
  const [read, setRead] = useState<RowRead | null>(null);
  const look = async (file: File | undefined) => {
    if (!file) return;
    setBusy(true);
    setPhoto(file);
    setRead(await readRowPhoto(row, file, setRead));
    setBusy(false);
  };
  const take = async () => {
    if (!read || !photo) return;
    setBusy(true);
    if (await takeRowPhoto(read, photo)) setRead(null);
    setBusy(false);
  };
  return (
    <section class="stack">
      <Button icon="photo" busy={busy} onPress={() => input.current?.click()} id="row-photo">
        {t(busy ? "photo.reading" : "photo.row")}
      </Button>
      <input
        ref={input}
        type="file"
        accept="image/*"
        capture="environment"
        aria-label={t("photo.row")}
        hidden
        onChange={(event) => look(event.currentTarget.files?.[0])}
      />
      {read && (
        <div class="card card-ask stack" role="status">
          {read.refused && (
            <p class="trouble">
              <Said text={read.refused} />
            </p>
          )}
          <Seen word={t("photo.seen", { n: read.seen.length })} codes={read.seen} icon="check" />
          <Seen
            word={t("photo.not_seen", { n: read.not_seen.length })}
            codes={read.not_seen}
            icon="lost"
          />
          <Seen
            word={t("photo.foreign", { n: read.foreign.length })}
            codes={read.foreign}
            icon="close"
          />
          <ChecksFirst />
          <Button tone="main" icon="check" busy={busy || !mayTake(read)} onPress={take}>
            {t("photo.take")}
          </Button>
        </div>
      )}
    </section>
  );
}

const mayTake = ({ refused }: RowRead) => refused === null && checksFirst().length === 0;

function Seen(props: { word: string; codes: readonly string[]; icon: "check" | "lost" | "close" }) {
  if (props.codes.length === 0) return null;
  return (
    <div>
      <h3 class="line">
        <Icon name={props.icon} size={32} />
        <span class="grow">{props.word}</span>
      </h3>
      <ul>
        {props.codes.map((code) => (
          <li key={code}>
            <span class="code">{code}</span> {caseName(code)}
          </li>
        ))}
      </ul>
    </div>
  );
}

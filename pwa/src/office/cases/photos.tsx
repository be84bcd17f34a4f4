/** Photos of a case: added from a file or taken over from a night, shown large, removed. */
import { useEffect, useState } from "preact/hooks";
import { asJpeg } from "../../scan/picture";
import { Button } from "../../ui/parts";
import { Text } from "../shared/text-field";
import type { CasePhoto, NightPhoto } from "../shared/api-types";
import { call, put, Refused } from "../shared/api";
import { Small } from "../shared/controls";
import { byCode, done, loadPhotos, photos, tried } from "../shared/state";
import { moment } from "../shared/units";

/** Kept below the server's own limits for a photo. */
const LARGEST_BYTES = 11_000_000;
const LONGEST_SIDE = 3_200;

const address = (code: string) => `/cases/${encodeURIComponent(code)}/photos`;

/** What is on a photo, for who does not see it. */
function altOf(code: string, photo: CasePhoto, number: number): string {
  const name = byCode.value.get(code)?.name ?? "";
  const what = photo.words || (number > 1 ? `photo ${number}` : "photo");
  return `${code}${name && ` ${name}`}: ${what}`;
}

/** The first photo of a case, small; nothing where it has none. */
export function SmallPhoto({ code }: { code: string }) {
  const first = photos.value[code]?.[0];
  if (!first) return null;
  return (
    <img
      class="small-photo"
      src={`/api${address(code)}/${first.id}?small=1`}
      alt={altOf(code, first, 1)}
      loading="lazy"
      width={40}
      height={40}
    />
  );
}

/** What the server takes as it is stays as it is; anything else becomes a JPEG. */
async function sendable(file: File): Promise<Blob> {
  const plain = file.type === "image/jpeg" || file.type === "image/png";
  if (plain && file.size <= LARGEST_BYTES) return file;
  return asJpeg(file, LONGEST_SIDE).catch(() => {
    throw new Refused(0, `${file.name} is no photo that this browser can open.`, []);
  });
}

export function CasePhotos({ code }: { code: string }) {
  const [words, setWords] = useState("");
  const [busy, setBusy] = useState(false);
  const [offered, setOffered] = useState<readonly NightPhoto[]>([]);
  const mine = photos.value[code] ?? [];
  const look = async () => {
    const got = await tried(() => call<{ from_nights: NightPhoto[] }>("GET", address(code)));
    setOffered(got?.from_nights ?? []);
  };
  useEffect(() => void look(), [code]);
  const after = async (said: string) => {
    await loadPhotos();
    await look();
    done.value = said;
  };
  const add = async (files: readonly File[]) => {
    setBusy(true);
    let count = 0;
    for (const file of files) {
      const kept = await tried(async () => {
        const photo = await sendable(file);
        return put(`${address(code)}?words=${encodeURIComponent(words)}`, photo, photo.type);
      });
      if (!kept) break;
      count += 1;
    }
    setBusy(false);
    if (count > 0) setWords("");
    if (count > 0) await after(count === 1 ? "The photo is kept." : `${count} photos are kept.`);
  };
  const remove = async (photo: CasePhoto) => {
    if (!confirm("Remove this photo for good?")) return;
    if (await tried(() => call("DELETE", `${address(code)}/${photo.id}`)))
      await after("The photo is removed.");
  };
  const take = async (from: NightPhoto) => {
    const body = { show: from.show, photo: from.photo };
    if (await tried(() => call("POST", `${address(code)}/from-night`, body)))
      await after("The photo is one of this case now.");
  };
  return (
    <section class="card stack" aria-label="Photos" id="photos">
      <h2>Photos</h2>
      {mine.length === 0 && <p class="soft">None yet.</p>}
      <Album code={code} photos={mine} onRemove={(photo) => void remove(photo)} />
      <div class="line line-wrap add-photo">
        <Text
          id="photo-words"
          label="What is on the photo"
          most={120}
          value={words}
          onChange={setWords}
          hint="Read aloud to who cannot see it."
        />
        <AddPhoto busy={busy} onFiles={(files) => void add(files)} />
      </div>
      <Offered offered={offered} onTake={(from) => void take(from)} />
    </section>
  );
}

interface AlbumProps {
  code: string;
  photos: readonly CasePhoto[];
  onRemove: (photo: CasePhoto) => void;
}

function Album({ code, photos, onRemove }: AlbumProps) {
  return (
    <ul class="photos">
      {photos.map((photo, index) => (
        <li key={photo.id}>
          <img src={`/api${address(code)}/${photo.id}`} alt={altOf(code, photo, index + 1)} />
          <div class="line">
            <span class="grow soft">
              {photo.words || `Photo ${index + 1}`}, {moment(photo.at)}
            </span>
            <Small
              label={`Remove photo ${index + 1}${photo.words && `, ${photo.words}`}`}
              onPress={() => onRemove(photo)}
            >
              Remove
            </Small>
          </div>
        </li>
      ))}
    </ul>
  );
}

function AddPhoto({ busy, onFiles }: { busy: boolean; onFiles: (files: readonly File[]) => void }) {
  return (
    <label class={busy ? "btn btn-file is-busy" : "btn btn-file"}>
      <span>{busy ? "One moment" : "Add photos"}</span>
      <input
        id="add-photos"
        type="file"
        class="unseen"
        accept="image/*"
        multiple
        disabled={busy}
        onChange={(event) => {
          // a copy: emptying the field empties its list too
          onFiles([...(event.currentTarget.files ?? [])]);
          event.currentTarget.value = "";
        }}
      />
    </label>
  );
}

function Offered(props: { offered: readonly NightPhoto[]; onTake: (from: NightPhoto) => void }) {
  if (props.offered.length === 0) return null;
  return (
    <>
      <h3>Taken on a night</h3>
      <ul class="photos">
        {props.offered.map((one) => (
          <li key={`${one.show}${one.photo}`}>
            <img
              src={`/api/shows/${encodeURIComponent(one.show)}/photos/${encodeURIComponent(one.photo)}`}
              alt={`Photo of a night: ${one.words || moment(one.at)}`}
            />
            <div class="line">
              <span class="grow soft">
                {one.words && `${one.words}, `}
                {moment(one.at)}
              </span>
              <Button id={`take-${one.photo}`} onPress={() => props.onTake(one)}>
                Keep with the case
              </Button>
            </div>
          </li>
        ))}
      </ul>
    </>
  );
}

/** Labels out of a photo: by the phone itself, and what it misses by the server. */
import { accept } from "../core/case-code";
import { aimedAt } from "../scan/aimed-at";
import { asJpeg, decodePhoto, type PhotoHit } from "../scan/photo";
import { ask, Refusal, Unreachable } from "../sync/api";
import { known } from "./known";
import { photograph, report } from "./report";
import { scan } from "./scanning";
import { bundle, leg, session, type Shown } from "./signals";

export interface PhotoRead {
  /** Who read it; the server reads more in poor light. */
  by: "server" | "phone";
  hits: PhotoHit[];
  /** Codes of cases that are known, each once. */
  codes: string[];
  /** Texts that are no case of ours. */
  unknown: string[];
  /** Why nothing could be read, in the server's words; null when it was read. */
  refused: string | null;
}

export interface RowRead extends PhotoRead {
  row: number;
  /** Due in this row and seen, due and not seen, seen and not of this row. */
  seen: string[];
  not_seen: string[];
  foreign: string[];
}

/** Kept below the server's own limits for a photo. */
const LARGEST_BYTES = 11_000_000;
const LONGEST_SIDE = 4_800;
/** A server that does not answer keeps nobody waiting: what the phone read stands on the screen. */
const SERVER_SECONDS = 8;
const TAKEN_AS_SENT = [
  "image/jpeg",
  "image/png",
  "image/webp",
  "image/heic",
  "image/heif",
  "image/avif",
];
const ANY_TYPE = "application/octet-stream";
const BROKEN = "The photo could not be decoded: take it again.";
const NOT_HERE =
  "This phone cannot open HEIC photos without the server: let the camera save JPEG (most compatible), or try again with a signal.";

interface Readings {
  width: number;
  height: number;
  readings: { text: string; box: number[][]; known: boolean }[];
}

/** Whether the phone's own reading leaves nothing to look for. */
type Enough = (codes: readonly string[]) => boolean;

/** Read every label in a photo; nothing is recorded by it.
 *
 * The phone reads first, at once and without a signal; the server is asked only for what the phone
 * has missed. `first` gets the phone's reading while the server is asked.
 */
export async function readPhoto(
  photo: Blob,
  enough: Enough,
  first?: (read: PhotoRead) => void,
): Promise<PhotoRead> {
  const own = await decodePhoto(photo).then(
    (hits) => sorted("phone", hits, null),
    () => null,
  );
  if (own && enough(own.codes)) return own;
  if (own) first?.(own);
  const more = await readByServer(photo);
  if (more.refused !== null && own && own.codes.length > 0) return own;
  if (more.by === "server")
    return sorted("server", [...(own?.hits ?? []), ...more.hits], more.refused);
  return own ?? more;
}

async function readByServer(photo: Blob): Promise<PhotoRead> {
  try {
    const show = session.value?.show ?? "";
    const path = `/shows/${encodeURIComponent(show)}/read`;
    const blob = await readable(photo);
    const asked = { method: "POST", blob, seconds: SERVER_SECONDS } as const;
    const { data } = await ask<Readings>(path, asked);
    return sorted("server", data ? inShares(data) : [], null);
  } catch (error) {
    if (error instanceof Refusal && error.status < 500 && error.status !== 401)
      return sorted("server", [], error.detail);
    if (!(error instanceof Refusal || error instanceof Unreachable)) throw error;
  }
  // as the server says it, so that there are words for it in every language
  return sorted("phone", [], (await isHeif(photo)) ? NOT_HERE : BROKEN);
}

/** The file type box of ISO/IEC 14496-12 stands first in HEIC and AVIF. */
async function isHeif(photo: Blob): Promise<boolean> {
  return (
    (await photo
      .slice(4, 8)
      .text()
      .catch(() => "")) === "ftyp"
  );
}

interface PhotoScan {
  read: PhotoRead;
  shown: Shown | null;
  /** Cases between which a tap decides: several as near to the middle of the photo. */
  choose: Chosen[];
}

export interface Chosen {
  code: string;
  name: string;
}

/** Answer the case of a photo that was chosen by a tap. */
export const scanChosen = (code: string): Promise<Shown | null> => scan(code, "photo");

const named = (code: string): Chosen => ({ code, name: bundle.value?.cases[code]?.name ?? "" });

/** Read one label by photo and answer it as a scan: the one that was aimed at, and no other. */
export async function scanPhoto(photo: Blob): Promise<PhotoScan> {
  const read = await readPhoto(photo, (codes) => codes.length > 0);
  const cases = read.hits.filter(({ text }) => read.codes.includes(text));
  const [aimed, ...others] = aimedAt(cases.length > 0 ? cases : read.hits);
  if (aimed === undefined) return { read, shown: null, choose: [] };
  // of texts that are no cases of ours the nearest is enough to say so
  if (others.length > 0 && cases.length > 0)
    return { read, shown: null, choose: [aimed, ...others].map(named) };
  return { read, shown: await scan(aimed, "photo"), choose: [] };
}

/** Compare the labels in a photo with what is due in a row. */
export async function readRowPhoto(
  row: number,
  photo: Blob,
  first?: (read: RowRead) => void,
): Promise<RowRead> {
  const due = leg.value?.rows.find((each) => each.number === row)?.due ?? [];
  const inRow = (read: PhotoRead): RowRead => ({
    ...read,
    row,
    seen: due.filter((code) => read.codes.includes(code)),
    not_seen: due.filter((code) => !read.codes.includes(code)),
    foreign: read.codes.filter((code) => !due.includes(code)),
  });
  const all = (codes: readonly string[]) => due.every((code) => codes.includes(code));
  return inRow(await readPhoto(photo, all, (read) => first?.(inRow(read))));
}

/** Take a row photo as the record: the photo is kept with the row, what was seen counts as on. */
export async function takeRowPhoto(read: RowRead, photo: Blob): Promise<boolean> {
  const id = await photograph(photo);
  if (id === null) return false;
  const { row, codes, seen } = read;
  const taken = await report({ kind: "row_photo", row, photo: id, codes });
  if (!taken) return false;
  for (const code of seen) {
    if (leg.value?.on.includes(code)) continue;
    if (!(await report({ kind: "on", code, read: "row_photo", row }))) return false;
  }
  return true;
}

/** What the server reads it takes as it is; anything else this browser can open becomes a JPEG. */
async function readable(photo: Blob): Promise<Blob> {
  const plain = photo.type === "image/jpeg" || photo.type === "image/png";
  if (plain && photo.size <= LARGEST_BYTES) return photo;
  const typed = TAKEN_AS_SENT.includes(photo.type) ? photo : new Blob([photo], { type: ANY_TYPE });
  return asJpeg(photo, LONGEST_SIDE).catch(() => typed);
}

/** The server answers in pixels of the upright photo; screens draw in shares of it. */
function inShares({ width, height, readings }: Readings): PhotoHit[] {
  return readings.map(({ text, box }) => ({
    text,
    box: box.map(([x = 0, y = 0]) => [x / width, y / height]),
  }));
}

/** A text that names a known case is told by its code from here on. */
function sorted(
  by: "server" | "phone",
  found: readonly PhotoHit[],
  refused: string | null,
): PhotoRead {
  const codes = new Set<string>();
  const unknown = new Set<string>();
  const hits = found.flatMap((hit) => {
    const read = accept(hit.text, known);
    if (read.ok) codes.add(read.code);
    else if (hit.foreign) return [];
    else unknown.add(hit.text);
    return [read.ok ? { ...hit, text: read.code } : hit];
  });
  return { by, hits, codes: [...codes], unknown: [...unknown], refused };
}

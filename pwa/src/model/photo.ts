/** Labels out of a photo: by the server where it is reached, else by the phone itself. */
import { accept } from "../core/case-code";
import { asJpeg, decodePhoto, sizeOf, type PhotoHit } from "../scan/photo";
import { ask, Refusal, Unreachable } from "../sync/api";
import { photograph, report } from "./report";
import { scan } from "./scanning";
import { bundle, leg, session, state, type Shown } from "./signals";

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

interface Readings {
  readings: { text: string; box: number[][]; known: boolean }[];
}

/** Read every label in a photo; nothing is recorded by it. */
export async function readPhoto(photo: Blob): Promise<PhotoRead> {
  try {
    const show = session.value?.show ?? "";
    const path = `/shows/${encodeURIComponent(show)}/read`;
    const sent = await readable(photo);
    const { data } = await ask<Readings>(path, { method: "POST", blob: sent, seconds: 30 });
    return sorted("server", await asShares(sent, data?.readings ?? []));
  } catch (error) {
    if (error instanceof Refusal && error.status < 500 && error.status !== 401)
      return { by: "server", hits: [], codes: [], unknown: [], refused: error.detail };
    if (!(error instanceof Refusal || error instanceof Unreachable)) throw error;
  }
  try {
    return sorted("phone", await decodePhoto(photo));
  } catch {
    // as the server says it, so that there are words for it in every language
    const refused = "The photo could not be decoded: take it again.";
    return { by: "phone", hits: [], codes: [], unknown: [], refused };
  }
}

/** Read one label by photo and answer it as a scan; null when no known label is in it. */
export async function scanPhoto(photo: Blob): Promise<{ read: PhotoRead; shown: Shown | null }> {
  const read = await readPhoto(photo);
  let shown: Shown | null = null;
  for (const text of [...read.codes, ...read.unknown].slice(0, 20))
    shown = await scan(text, "photo");
  return { read, shown };
}

/** Compare the labels in a photo with what is due in a row. */
export async function readRowPhoto(row: number, photo: Blob): Promise<RowRead> {
  const read = await readPhoto(photo);
  const due = leg.value?.rows.find((each) => each.number === row)?.due ?? [];
  const there = new Set(read.codes);
  return {
    ...read,
    row,
    seen: due.filter((code) => there.has(code)),
    not_seen: due.filter((code) => !there.has(code)),
    foreign: read.codes.filter((code) => !due.includes(code)),
  };
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
  return asJpeg(photo, LONGEST_SIDE).catch(() => photo);
}

/** The server speaks in pixels of the upright photo; screens draw in shares of it. */
async function asShares(photo: Blob, readings: Readings["readings"]): Promise<PhotoHit[]> {
  const { width, height } = await sizeOf(photo);
  return readings.map(({ text, box }) => ({
    text,
    box: box.map(([x = 0, y = 0]) => [x / width, y / height]),
  }));
}

function sorted(by: "server" | "phone", hits: PhotoHit[]): PhotoRead {
  const sheet = bundle.value;
  const added = state.value?.added ?? {};
  const known = { has: (code: string) => code in (sheet?.cases ?? {}) || code in added };
  const codes = new Set<string>();
  const unknown = new Set<string>();
  for (const { text } of hits) {
    const read = accept(text, known);
    if (read.ok) codes.add(read.code);
    else unknown.add(text);
  }
  return { by, hits, codes: [...codes], unknown: [...unknown], refused: null };
}

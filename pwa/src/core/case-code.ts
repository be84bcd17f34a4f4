/**
 * A case code is `DEPT-NUMBER-CHECK`, as `PW-031-7`; a read counts only if its check holds.
 *
 * The check character is ISO/IEC 7064:2003 MOD 37-2 over department and number without hyphens: it
 * catches every single wrong character and every swap of neighbours. The server says the same in
 * `core/shop/case_code.py`; fixtures hold both together.
 */
const ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ*";
const PRINTED = /^([A-Z]{1,4})-([0-9]{3,6})-([0-9A-Z*])$/;
const LONGEST = 24;
const SEPARATORS = /[^0-9A-Z*]+/;
const TO_DIGIT: Record<string, string> = { O: "0", I: "1", L: "1" };
const TO_LETTERS: Record<string, string> = { "0": "O", "1": "IL" };

export type Accepted = { ok: true; code: string };
export type Refused = {
  ok: false;
  kind: "empty" | "shape" | "check" | "ambiguous" | "unknown";
  text: string;
  /** Codes that the text may mean, for the words on the screen. */
  candidates: string[];
};

/** What can tell whether a code is in the fleet or on the show. */
export interface Known {
  has(code: string): boolean;
  /** The case that a text names without being its code: by a further tag, or in an address. */
  tagged?(text: string): string | null;
}

/** The check character of capital letters and digits, by the standard's recursive method. */
export function checkCharacter(text: string): string {
  let total = 0;
  for (const character of text) total = ((total + ALPHABET.indexOf(character)) * 2) % 37;
  return ALPHABET.charAt((38 - total) % 37);
}

/** Whether a text has the printed form and its check holds. */
export function checkHolds(text: string): boolean {
  const match = PRINTED.exec(text);
  if (!match) return false;
  const [, department = "", number = "", check] = match;
  if (String(Number(number)).padStart(3, "0") !== number || Number(number) < 1) return false;
  return checkCharacter(department + number) === check;
}

/**
 * Decide whether what a decoder read counts: exact form, check holds, and the code is known.
 *
 * A known code whose check does not hold is of an owner's own numbering: only the fleet guards it.
 */
export function accept(text: string, known: Known): Accepted | Refused {
  const code = text.trim();
  if (!code) return refused("empty", text);
  if (known.has(code)) return { ok: true, code };
  // an owner's numbering is read in either case; our own labels print capitals only
  const own = code.toUpperCase();
  const named = known.has(own) ? own : known.tagged?.(text);
  if (named) return { ok: true, code: named };
  if (!PRINTED.test(own)) return refused("shape", text);
  return checkHolds(own) ? refused("unknown", text, [own]) : refused("check", text);
}

/**
 * Decide whether a typed or wedge-scanned code counts: small slips are forgiven where one code fits.
 *
 * Forgiven are lower case, blanks or other signs for the hyphens, missing leading zeros, and O for
 * 0, I or L for 1 and the reverse; it never guesses between two known cases.
 */
export function acceptTyped(text: string, known: Known): Accepted | Refused {
  const trimmed = text.trim();
  if (!trimmed) return refused("empty", text);
  const upper = trimmed.toUpperCase();
  const named = known.has(upper) ? upper : known.tagged?.(text);
  if (named) return { ok: true, code: named };
  if (trimmed.length > LONGEST) return refused("shape", trimmed.slice(0, LONGEST));
  const held = readings(trimmed);
  const fits = held.filter((code) => known.has(code));
  const [only] = fits;
  if (only !== undefined && fits.length === 1) return { ok: true, code: only };
  if (fits.length > 1) return refused("ambiguous", text, fits);
  return held.length > 0 ? refused("unknown", text, held) : refused("check", text);
}

/** Every code whose check holds that a typed text may mean, in order. */
export function readings(text: string): string[] {
  const parts = text.toUpperCase().split(SEPARATORS).filter(Boolean);
  const whole = parts.join("");
  if (whole.length < 3 || whole.length > LONGEST) return [];
  const found = new Set<string>();
  for (const letters of splits(parts, whole)) {
    for (const department of departments(whole.slice(0, letters))) {
      const code = held(department, whole.slice(letters, -1), whole.slice(-1));
      if (code) found.add(code);
    }
  }
  return [...found].sort();
}

/** How many letters the department may have: told by the hyphens, else tried. */
function splits(parts: string[], whole: string): number[] {
  if (parts.length === 3) return [parts[0]?.length ?? 0];
  return [1, 2, 3, 4].filter((letters) => letters <= whole.length - 2);
}

/** The department letters that a text may stand for: 1 may be I or L, 0 is O. */
function departments(text: string): string[] {
  let spelled = [""];
  for (const sign of text) {
    const letters = [...(TO_LETTERS[sign] ?? sign)];
    spelled = spelled.flatMap((start) => letters.map((letter) => start + letter));
  }
  return spelled.filter((department) => /^[A-Z]{1,4}$/.test(department));
}

function held(department: string, number: string, check: string): string | null {
  const digits = [...number].map((sign) => TO_DIGIT[sign] ?? sign).join("");
  if (!/^[0-9]{1,12}$/.test(digits) || Number(digits) < 1 || Number(digits) > 999_999) return null;
  const printed = String(Number(digits)).padStart(3, "0");
  const right = checkCharacter(department + printed);
  const alike = check + (TO_DIGIT[check] ?? "") + (TO_LETTERS[check] ?? "");
  return alike.includes(right) ? `${department}-${printed}-${right}` : null;
}

function refused(kind: Refused["kind"], text: string, candidates: string[] = []): Refused {
  return { ok: false, kind, text, candidates };
}

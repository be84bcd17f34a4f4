/** Codes that a new case may get: numbers are for life, so the next is above the highest ever used. */
import { checkCharacter } from "../../core/case-code";

const PRINTED = /^([A-Z]{1,4})-(\d{3,6})-[0-9A-Z*]$/;
const BEGUN = /^([A-Z]{1,4})-?(\d{0,6})-?$/;
/** Check characters that could be mistaken, or are no letter: such numbers are never issued. */
const NEVER = "01IO*";
const MOST_OFFERED = 12;

/** The code of a department and number; null where that number is never issued. */
function codeOf(department: string, number: number): string | null {
  const digits = String(number).padStart(3, "0");
  const check = checkCharacter(department + digits);
  return NEVER.includes(check) ? null : `${department}-${digits}-${check}`;
}

/** The next code of a department after every one that was ever used. */
export function nextCode(department: string, codes: Iterable<string>): string {
  let highest = 0;
  for (const code of codes) {
    const found = PRINTED.exec(code);
    if (found?.[1] === department) highest = Math.max(highest, Number(found[2]));
  }
  for (let number = highest + 1; ; number += 1) {
    const code = codeOf(department, number);
    if (code) return code;
  }
}

/**
 * What to offer for what is typed: with nothing, the next of every department that has codes; with
 * letters, the next of these; with a number too, that number with its check character.
 */
export function offers(typed: string, codes: readonly string[]): string[] {
  if (PRINTED.test(typed)) return [];
  const begun = BEGUN.exec(typed);
  if (begun?.[2]) {
    const code = codeOf(begun[1] ?? "", Number(begun[2]));
    return code && Number(begun[2]) > 0 && !codes.includes(code) ? [code] : [];
  }
  const departments = new Set<string>();
  for (const code of codes) departments.add(PRINTED.exec(code)?.[1] ?? "");
  departments.delete("");
  const wanted = begun ? [begun[1] ?? ""] : typed === "" ? [...departments].sort() : [];
  return wanted.slice(0, MOST_OFFERED).map((department) => nextCode(department, codes));
}

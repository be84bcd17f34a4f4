/** What the server says in English, in the crew's language, by the phrases of its file.
 *
 * `@said` of a language file holds English phrase → own phrase. Blanks: `{n}` a number, `{m}` a
 * number with its unit, `{w}` words that stay as they are, `{s}` a phrase that is said in turn.
 * What no phrase covers stays English, and is marked so. */
import { language, phrases } from "./index";

const KINDS: Readonly<Record<string, string>> = {
  n: "-?[\\d.,]*\\d",
  m: "-?[\\d.,]*\\d ?[a-z%]+",
  w: ".+?",
  s: ".+?",
};
const BLANK = /\{(\w+)\}/g;
const JOINED = "; ";

interface Phrase {
  form: RegExp;
  names: readonly string[];
  own: string;
}

let made: readonly Phrase[] = [];
let madeOf: object | null = null;
let told = new Map<string, string | null>();

/** The sentence in the crew's language; null: there is only the English. */
export function said(text: string): string | null {
  if (language.value === "en") return text;
  take();
  const before = told.get(text);
  if (before !== undefined) return before;
  const now = whole(text) ?? parts(text);
  told.set(text, now);
  return now;
}

/** By one phrase from end to end. */
function whole(text: string): string | null {
  for (const { form, names, own } of made) {
    const found = form.exec(text);
    if (!found) continue;
    const fill = names.map((name, at): [string, string | null] => [
      name,
      filled(name, found[at + 1] ?? ""),
    ]);
    if (fill.some(([, words]) => words === null)) continue;
    const words = new Map(fill);
    return own.replace(BLANK, (blank, name: string) => words.get(name) ?? blank);
  }
  return null;
}

/** Clause by clause, each a phrase of its own. */
function parts(text: string): string | null {
  const clauses = text.split(JOINED);
  if (clauses.length < 2) return null;
  const own = clauses.map(whole);
  return own.includes(null) ? null : own.join(JOINED);
}

function filled(name: string, text: string): string | null {
  const kind = name.charAt(0);
  if (kind === "s") return said(text);
  return kind === "w" ? text : text.replace(/^-?[\d.,]*\d/, inOwnDigits);
}

const inOwnDigits = (number: string): string =>
  Number(number.replaceAll(",", "")).toLocaleString(language.value, { maximumFractionDigits: 4 });

function take(): void {
  if (madeOf === phrases.value) return;
  madeOf = phrases.value;
  told = new Map();
  made = Object.entries(phrases.value).map(([english, own]) => {
    const names: string[] = [];
    const plain = english.replace(/[.*+?^$()|[\]\\/]/g, "\\$&");
    const form = plain.replace(BLANK, (_, name: string) => {
      names.push(name);
      return `(${KINDS[name.charAt(0)] ?? ".+?"})`;
    });
    return { form: new RegExp(`^${form}$`), names, own };
  });
}

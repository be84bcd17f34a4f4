/** Words in the crew's language. English travels with the app; every other file beside it is found
 * at build time, so that a further language is one more file here, named by its language tag.
 * `{name}` is filled in; the forms of a plural are parted by `|`, in the order that `@plural` gives. */
import { signal } from "@preact/signals";
import type all from "./en.json";
import { early } from "./early";

export type Key = Exclude<keyof typeof all, "@plural">;
export type Words = Readonly<Record<keyof typeof all, string>>;
export type Fill = Readonly<Record<string, string | number>>;

type File = Words & { "@said"?: Readonly<Record<string, string>> };
const FILES = import.meta.glob<File>(["./*.json", "!./en.json"], { import: "default" });
const short = (path: string): string => path.slice(2, -".json".length);

/** Language tags that there are words for, English first. */
export const languages: readonly string[] = ["en", ...Object.keys(FILES).map(short)];

export const language = signal("en");
let english = early as Words;
const words = signal<Words>(english);
/** The server's English phrases in this language, see `said.ts`. */
export const phrases = signal<Readonly<Record<string, string>>>({});

/** Words of screens that load late; see `late.ts`. */
export function addEnglish(late: Readonly<Record<string, string>>): void {
  english = { ...english, ...late };
  if (language.value === "en") words.value = english;
}

/** Names at hand; asking the browser for one costs a slow phone a tenth of a second. */
const NAMES: Readonly<Record<string, string>> = { en: "English", es: "Español" };

/** What a language calls itself. */
export function languageName(tag: string): string {
  const known = NAMES[tag];
  if (known) return known;
  const name = new Intl.DisplayNames(tag, { type: "language" }).of(tag) ?? tag;
  return name.charAt(0).toLocaleUpperCase(tag) + name.slice(1);
}

/** Takes up a language; one that there is no file for leaves everything as it is. */
export async function speak(tag: string): Promise<void> {
  const load = FILES[`./${tag}.json`];
  if (tag !== "en" && !load) return;
  const taken: File = load ? await load() : english;
  words.value = taken;
  phrases.value = taken["@said"] ?? {};
  rules = new Intl.PluralRules(tag);
  language.value = tag;
  document.documentElement.lang = tag;
}

/** The phone's own language if there are words for it. */
export function preferred(): string {
  const wanted = navigator.languages.map((tag) => tag.slice(0, 2).toLowerCase());
  return wanted.find((tag) => languages.includes(tag)) ?? "en";
}

/** Whether there are words of this name. */
export const isKey = (name: string): name is Key => name in words.value;

export function t(key: Key, fill: Fill = {}): string {
  const text: string | undefined = words.value[key];
  const form = choose(text ?? "", fill["n"]);
  return form.replace(/\{(\w+)\}/g, (whole, name: string) => String(fill[name] ?? whole));
}

/** Made once a language: a new one for each number on the screen costs a slow phone milliseconds. */
let rules = new Intl.PluralRules("en");

function choose(text: string, count: string | number | undefined): string {
  if (!text.includes("|")) return text;
  const forms = text.split("|");
  const rule = rules.select(Number(count ?? 1));
  const at = words.value["@plural"].split(" ").indexOf(rule);
  return forms[at] ?? forms[forms.length - 1] ?? text;
}

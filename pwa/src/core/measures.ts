/**
 * Lengths and masses as people write them: `22 1/2`, `22½"`, `3' 6"`, `572mm`, `310 lbs`, `57,1`.
 *
 * The server's `server/core/base/measures.py` reads the same; `fixtures/measures/vectors.json` holds
 * both together. Nothing is guessed: what may mean two things is refused with its reason.
 */
export type Reason = "blank" | "unknown" | "typo" | "ambiguous" | "about" | "unreadable";
export type LengthUnit = "in" | "ft" | "mm" | "cm" | "m";
export type MassUnit = "lb" | "kg" | "g" | "t" | "oz";
export type Read = { ok: true; value: number } | { ok: false; reason: Reason; hint: string };

// International yard and pound agreement, 1959: 1 in = 25.4 mm, 1 lb = 0.45359237 kg exactly.
const UM_PER = { in: 25_400, ft: 304_800, mm: 1_000, cm: 10_000, m: 1_000_000 } as const;
const G_PER = { lb: 453.592_37, kg: 1_000, g: 1, t: 1_000_000, oz: 28.349_523_125 } as const;

const words = (text: string): string[] => text.split(" ");
const LENGTHS: Record<LengthUnit, string[]> = {
  in: words('in ins inch inches inchs " zoll pulg pulgada pulgadas pouce pouces po pollici duim'),
  ft: words("ft foot feet ' fuss pie pies pied pieds piedi voet"),
  mm: words("mm mms millimetre millimetres millimeter millimeters milimetro milimetros"),
  cm: words(
    "cm cms centimetre centimetres centimeter centimeters zentimeter centimetro centimetros",
  ),
  m: words("m mt mts mtr mtrs metre metres meter meters metro metros"),
};
const MASSES: Record<MassUnit, string[]> = {
  lb: words("lb lbs # pound pounds libra libras"),
  kg: words(
    "kg kgs kilo kilos kilogram kilograms kilogramm kilogramme kilogrammes kilogramo kilogramos kilogrammo",
  ),
  g: words("g gr gram grams gramm gramme grammes gramo gramos"),
  t: words("tonne tonnes tonelada toneladas"),
  oz: words("oz ounce ounces"),
};
const NOT_KNOWN = new Set([
  ...words("? ?? ??? tbc tbd tba n/a na #n/a nan n.a n.v.t k.a ka s/d sd n.d nd nc n.c - -- --- _"),
  ...words(". .. ... x xx xxx unknown unk none null nil offen fehlt unbekannt unklar desconocido"),
  ...words("pendiente inconnu idk unweighed"),
  ...["not known", "not weighed", "to weigh", "to be confirmed", "to be weighed", "no idea"],
  ...["keine angabe", "nicht gewogen", "nicht bekannt", "sin dato", "sin datos", "sin pesar"],
  ...["por confirmar", "por pesar", "por definir", "a confirmar", "a confirmer", "a peser"],
  ...["non pese", "non connu", "to do", "to check", "see scale"],
]);
const VULGAR: Record<string, string> = Object.fromEntries(
  words("½1/2 ¼1/4 ¾3/4 ⅓1/3 ⅔2/3 ⅛1/8 ⅜3/8 ⅝5/8 ⅞7/8 ⅕1/5 ⅖2/5 ⅗3/5 ⅘4/5 ⅙1/6 ⅚5/6").map((one) => [
    one.slice(0, 1),
    one.slice(1),
  ]),
);
const DENOMINATORS = new Set([2, 3, 4, 5, 6, 8, 10, 12, 16, 32, 64]);

const escape = (word: string): string => word.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
const anyOf = (units: Record<string, string[]>): string =>
  Object.values(units)
    .flat()
    .sort((a, b) => b.length - a.length)
    .map(escape)
    .join("|");
const NUMBER = String.raw`(?:\d{1,3}(?:[ ']\d{3})+(?:[.,]\d+)?(?!\d)|\d+(?:[.,]\d+)*|[.,]\d+)`;
const FRACTION = String.raw`(?:\d{1,2} ?\/ ?\d{1,2})`;
const MIXED = `(?:(?<whole>${NUMBER})(?: ?- ?| +)(?<part>${FRACTION})|(?<alone>${FRACTION})|(?<number>${NUMBER}))`;
const FOOT = LENGTHS.ft.map(escape).join("|");
const INCH = LENGTHS.in.map(escape).join("|");
const whole = (pattern: string): RegExp => new RegExp(`^(?:${pattern})$`);
const PLAIN_LENGTH = whole(`${MIXED} ?(?<unit>${anyOf(LENGTHS)})?\\.?`);
const FEET = whole(
  `(?<feet>\\d{1,2}) ?(?:${FOOT})\\.?(?: ?[-,+&] ?| ?)(?:${MIXED} ?(?:${INCH})?\\.?)`,
);
const METRES = whole(String.raw`(?<m>\d{1,2}) ?m ?(?<cm>\d{2})(?: ?cm)?`);
const PLAIN_MASS = whole(
  `(?:(?<before>${anyOf(MASSES)})\\.? ?)?${MIXED} ?(?<unit>${anyOf(MASSES)}|t|to)?\\.?`,
);
const POUNDS = whole(
  String.raw`(?<lb>\d{1,5}) ?(?:lbs?|#|pounds?)\.? ?${MIXED} ?(?:oz|ounces?)\.?`,
);
const ABOUT =
  /^(?:~|≈|<|>|\+\/-|ca\b\.?|circa|about|approx\w*\.?|around|est\b\.?|etwa|rund|aprox\w*\.?|env\b\.?|environ|unos) ?|(?: ?(?:\?|approx\w*\.?|est\b\.?|ca\b\.?|\+))+$/g;
const TYPO: Record<string, string> = { o: "0", l: "1", i: "1", "|": "1", s: "5", b: "8", z: "2" };

const no = (reason: Reason, hint = ""): Read => ({ ok: false, reason, hint });
const yes = (value: number): Read => ({ ok: true, value });

/** A text in one form: no capitals, accents, rare signs or runs of blanks. */
function plainText(text: string): string {
  return text
    .replace(/[½¼¾⅓⅔⅛⅜⅝⅞⅕⅖⅗⅘⅙⅚]/g, (sign) => ` ${VULGAR[sign] ?? ""} `)
    .replace(/[′’‘´`ʹ‵]/g, "'")
    .replace(/[″“”„‟〃ʺ]/g, '"')
    .replace(/[\u2010-\u2015−]/g, "-")
    .replace(/[⁄∕]/g, "/")
    .replace(/[\u200b\ufeff]/g, "")
    .toLowerCase()
    .replace(/ß/g, "ss")
    .replace(/''/g, '"')
    .normalize("NFKD")
    .replace(/\p{M}/gu, "")
    .replace(/\s+/g, " ")
    .trim();
}

/** Micrometres, to the nearest; `unit` is the one meant where none is written. */
export function readLength(text: string, unit: LengthUnit): Read {
  return lengthOf(plainText(text), unit);
}

/** Grams, to the nearest. */
export function readMass(text: string, unit: MassUnit): Read {
  return massOf(plainText(text), unit);
}

function lengthOf(plain: string, unit: LengthUnit): Read {
  const early = unsaid(plain);
  if (early) return early;
  const metres = METRES.exec(plain)?.groups;
  if (metres) return yes(Math.round((Number(metres["m"]) + Number(metres["cm"]) / 100) * UM_PER.m));
  const feet = FEET.exec(plain)?.groups;
  if (feet) {
    const inches = numberOf(feet, "in");
    if (inches.ok && inches.value < 12) {
      return yes(Math.round((Number(feet["feet"]) * 12 + inches.value) * UM_PER.in));
    }
  }
  const found = PLAIN_LENGTH.exec(plain)?.groups;
  if (!found) return refusal(plain, (again) => lengthOf(again, unit));
  const written = unitOf(found["unit"], LENGTHS) ?? unit;
  const value = numberOf(found, written);
  return value.ok ? yes(Math.round(value.value * UM_PER[written])) : value;
}

function massOf(plain: string, unit: MassUnit): Read {
  const early = unsaid(plain);
  if (early) return early;
  const pounds = POUNDS.exec(plain)?.groups;
  if (pounds) {
    const ounces = numberOf(pounds, "oz");
    if (!ounces.ok || ounces.value >= 16) return no("unreadable");
    return yes(Math.round((Number(pounds["lb"]) + ounces.value / 16) * G_PER.lb));
  }
  const found = PLAIN_MASS.exec(plain)?.groups;
  if (!found || (found["before"] && (found["unit"] || found["before"] === "#"))) {
    return refusal(plain, (again) => massOf(again, unit));
  }
  const word = found["before"] ?? found["unit"];
  const written = word === "t" || word === "to" ? "t" : (unitOf(word, MASSES) ?? unit);
  const value = numberOf(found, written);
  return value.ok ? yes(Math.round(value.value * G_PER[written])) : value;
}

function unsaid(plain: string): Read | null {
  if (plain === "") return no("blank");
  const known = NOT_KNOWN.has(plain) || NOT_KNOWN.has(plain.replace(/\.+$/, ""));
  return known ? no("unknown") : null;
}

function unitOf<U extends string>(
  word: string | undefined,
  units: Record<U, string[]>,
): U | undefined {
  return (Object.keys(units) as U[]).find((unit) => word && units[unit].includes(word));
}

/** The number of a match: plain, mixed or a fraction alone. */
function numberOf(found: Record<string, string | undefined>, unit: string): Read {
  const fraction = found["part"] ?? found["alone"];
  if (fraction === undefined) return digitsOf(found["number"] ?? "", unit);
  const [top = 0, bottom = 0] = fraction.split("/").map(Number);
  if (!DENOMINATORS.has(bottom) || top >= bottom) return no("unreadable");
  if (found["whole"] === undefined) return yes(top / bottom);
  return /^\d+$/.test(found["whole"])
    ? yes(Number(found["whole"]) + top / bottom)
    : no("unreadable");
}

/** The number that digits with points, commas or blanks mean. */
function digitsOf(text: string, unit: string): Read {
  const digits = text.replace(/[ ']/g, "");
  const marks = digits.replace(/\d/g, "");
  if (marks === "") return yes(Number(digits));
  const last = marks[marks.length - 1] ?? ".";
  if (new Set(marks).size === 2) {
    const other = last === "." ? "," : ".";
    const [head = "", ...tails] = digits.split(last);
    if (tails.length > 1 || !grouped(head, other)) return no("unreadable");
    return yes(Number(digits.replaceAll(other, "").replace(last, ".")));
  }
  if (marks.length > 1) {
    return grouped(digits, last) ? yes(Number(digits.replaceAll(last, ""))) : no("unreadable");
  }
  const thousands = meansThousands(digits, last, unit);
  if (thousands === null) return no("ambiguous");
  return yes(Number(thousands ? digits.replace(last, "") : digits.replace(",", ".")));
}

/** Whether a single mark separates thousands; null where nothing decides. */
function meansThousands(digits: string, mark: string, unit: string): boolean | null {
  const [head = "", rest = ""] = digits.split(mark);
  const could = rest.length === 3 && head.length >= 1 && head.length <= 3 && !head.startsWith("0");
  if (!could) return false;
  if (mark === ".") return unit === "mm" ? null : false;
  if (unit === "mm" || unit === "lb") return true;
  return unit === "m" || unit === "t" ? false : null;
}

function grouped(digits: string, mark: string): boolean {
  const [first = "", ...others] = digits.split(mark);
  return first.length >= 1 && first.length <= 3 && others.every((one) => one.length === 3);
}

/** Why a text is no amount: about so much, a letter for a digit, or not to be read. */
function refusal(plain: string, again: (text: string) => Read): Read {
  const rest = plain.replace(ABOUT, "");
  if (rest !== plain && again(rest).ok) return no("about", rest);
  const digits = /^[\doilsbz|.,]+/.exec(plain)?.[0] ?? "";
  if (/\d/.test(digits)) {
    const hint =
      digits.replace(/[oilsbz|]/g, (sign) => TYPO[sign] ?? sign) + plain.slice(digits.length);
    if (hint !== plain && again(hint).ok) return no("typo", hint);
  }
  return no("unreadable");
}

/** What the server found wrong, in words of the form: the field as it is labelled, and what to do. */
import type { Fault } from "./api";

const LABELS: Readonly<Record<string, string>> = {
  id: "Short name",
  code: "Code",
  name: "Name",
  date: "Date",
  cases: "Cases",
  vehicles: "Vehicles",
  checks: "Checks",
  walk: "The night's walk",
  homes: "Homes",
  width_um: "Width",
  length_um: "Length",
  height_um: "Height",
  door_height_um: "Height of the door",
  payload_g: "Payload",
  mass_g: "Mass",
  lid_load_g: "Lid carries",
  from_um: "From the bulkhead",
  to_um: "To",
  up_to_um: "Up to a height of",
  deck_height_um: "Height of the deck",
  rating_g: "Rating",
  wll_g: "Working load limit",
  front_at_um: "Front support",
  rear_at_um: "Rear support",
  pitch_um: "From anchor to anchor",
  heights_um: "Heights of the anchors",
  deep_um: "Depth of the platform",
  wide_um: "Width of the platform",
  narrow: "Narrow stretch",
};

/** How the server's library says it, and how people do. */
const WORDS: readonly (readonly [RegExp, string])[] = [
  [/^String should have at least 1 character$/, "write something here"],
  [/^String should have at most (\d+) characters?$/, "at most $1 characters"],
  [
    /^String should match pattern .*\[A-Za-z0-9 \._-\].*$/,
    "letters a to z, digits, blank, . _ and - only",
  ],
  [/^String should match pattern .*$/, "a sign in it cannot be used here"],
  [/^Input should be greater than 0$/, "a number above zero"],
  [/^Input should be greater than or equal to (\d{1,4})$/, "a number of at least $1"],
  [/^Input should be less than or equal to (\d{1,6})$/, "a number of at most $1"],
  [/^Input should be less than or equal to \d+$/, "a smaller number"],
  [/^Input should be a valid (integer|number).*$/, "a number such as 60.5"],
  [/^List should have at least (\d+) items? .*$/, "at least $1 of them"],
  [/^List should have at most (\d+) items? .*$/, "at most $1 of them"],
  [/^Field required$/, "it is missing"],
];

/** The field by its label; a place in a list counts from one. */
export function fieldWords(field: string): string {
  return field
    .split(".")
    .map((part) =>
      /^\d+$/.test(part)
        ? String(Number(part) + 1)
        : (LABELS[part] ?? part.replace(/_(um|g)$/, "").replaceAll("_", " ")),
    )
    .join(", ");
}

export function messageWords({ message }: Pick<Fault, "message">): string {
  for (const [said, words] of WORDS) if (said.test(message)) return message.replace(said, words);
  return message;
}

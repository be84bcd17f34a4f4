/** Names of the drops of the show that is open, such as "power first". */
import { signal } from "@preact/signals";

export type DropNames = Readonly<Record<string, string>>;

export const dropNames = signal<DropNames>({});

/** A drop as people say it: "drop 1: power first". */
export function dropWords(drop: number): string {
  const name = dropNames.value[String(drop)];
  return name ? `drop ${drop}: ${name}` : `drop ${drop}`;
}

/** Names after drops were numbered anew; a number that is nobody's loses its name. */
export function renamed(names: DropNames, to: ReadonlyMap<number, number>): DropNames {
  const found: Record<string, string> = {};
  for (const [drop, name] of Object.entries(names)) {
    const now = to.get(Number(drop)) ?? Number(drop);
    found[String(now)] ??= name;
  }
  return found;
}

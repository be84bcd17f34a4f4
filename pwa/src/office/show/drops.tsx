/** The drops of a show as a list: what comes off first, named and moved as a whole. */
import { useMemo } from "preact/hooks";
import type { Called } from "../shared/api-types";
import { Small } from "../shared/controls";
import { byCode } from "../shared/state";

interface DropsProps {
  called: readonly Called[];
  onChange: (called: readonly Called[]) => void;
}

export function DropsPart({ called, onChange }: DropsProps) {
  const drops = useMemo(() => {
    const found = new Map<number, Called[]>();
    for (const each of called) found.set(each.drop, [...(found.get(each.drop) ?? []), each]);
    return [...found].sort(([one], [other]) => one - other);
  }, [called]);
  if (called.length === 0) return null;
  const swap = (one: number, other: number) =>
    onChange(
      called.map((each) => ({
        ...each,
        drop: each.drop === one ? other : each.drop === other ? one : each.drop,
      })),
    );
  const by = () => {
    const names = [
      ...new Set(called.map((each) => byCode.value.get(each.code)?.department ?? "")),
    ].sort();
    const place = new Map(names.map((name, index) => [name, Math.min(9, index + 1)]));
    onChange(
      called.map((each) => ({
        ...each,
        drop: place.get(byCode.value.get(each.code)?.department ?? "") ?? 1,
      })),
    );
  };
  return (
    <fieldset class="card stack">
      <legend>Drops: what comes off first</legend>
      <ol class="drops">
        {drops.map(([drop, many], index) => (
          <li key={drop} class="line">
            <span class="row-no">{drop}</span>
            <span class="grow">
              {many.length} cases{" "}
              <span class="soft">
                {[
                  ...new Set(many.map((each) => byCode.value.get(each.code)?.department ?? "")),
                ].join(", ")}
              </span>
            </span>
            <Small
              label={`Drop ${drop} comes off earlier`}
              onPress={() => index > 0 && swap(drop, drops[index - 1]![0])}
            >
              Earlier
            </Small>
            <Small
              label={`Drop ${drop} comes off later`}
              onPress={() => index < drops.length - 1 && swap(drop, drops[index + 1]![0])}
            >
              Later
            </Small>
          </li>
        ))}
      </ol>
      <div>
        <Small onPress={by}>A drop for each department</Small>
      </div>
    </fieldset>
  );
}

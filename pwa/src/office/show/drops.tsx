/** The drops of a show as a list: what comes off first; named, moved and merged as a whole. */
import { useMemo, useState } from "preact/hooks";
import type { Called } from "../shared/api-types";
import { Small } from "../shared/controls";
import { byCode } from "../shared/state";
import { dropNames, dropWords, renamed, type DropNames } from "./drop-names";

interface DropsProps {
  called: readonly Called[];
  onChange: (called: readonly Called[]) => void;
  onNames: (names: DropNames) => void;
}

type Drop = readonly [number, readonly Called[]];

const departmentOf = (each: Called) => byCode.value.get(each.code)?.department ?? "";

export function DropsPart({ called, onChange, onNames }: DropsProps) {
  const drops = useMemo((): readonly Drop[] => {
    const found = new Map<number, Called[]>();
    for (const each of called) found.set(each.drop, [...(found.get(each.drop) ?? []), each]);
    return [...found].sort(([one], [other]) => one - other);
  }, [called]);
  const [dragged, setDragged] = useState<number | null>(null);
  if (called.length === 0) return null;
  /** Number drops anew: cases and names move together. */
  const move = (to: ReadonlyMap<number, number>) => {
    onNames(renamed(dropNames.value, to));
    onChange(called.map((each) => ({ ...each, drop: to.get(each.drop) ?? each.drop })));
  };
  const swap = (one: number, other: number) =>
    move(
      new Map([
        [one, other],
        [other, one],
      ]),
    );
  const byDepartment = () => {
    const names = [...new Set(called.map(departmentOf))].sort();
    const place = new Map(names.map((name, index) => [name, Math.min(9, index + 1)]));
    onNames(
      Object.fromEntries(
        names.flatMap((name, index) => (index < 9 && name ? [[String(index + 1), name]] : [])),
      ),
    );
    onChange(called.map((each) => ({ ...each, drop: place.get(departmentOf(each)) ?? 1 })));
  };
  return (
    <fieldset class="card stack">
      <legend>Drops: what comes off first</legend>
      <ol class="drops">
        {drops.map(([drop, many], index) => (
          <OneDrop
            key={drop}
            drop={drop}
            many={many}
            earlier={index > 0 ? drops[index - 1]![0] : null}
            later={index < drops.length - 1 ? drops[index + 1]![0] : null}
            onSwap={(other) => swap(drop, other)}
            onMerge={(other) => move(new Map([[drop, other]]))}
            onName={(name) => onNames({ ...dropNames.value, [String(drop)]: name })}
            onDrag={setDragged}
            onDropped={() => {
              if (dragged !== null && dragged !== drop) move(new Map([[dragged, drop]]));
              setDragged(null);
            }}
          />
        ))}
      </ol>
      <p class="soft">Drag a drop onto another to merge both.</p>
      <div>
        <Small onPress={byDepartment}>A drop for each department</Small>
      </div>
    </fieldset>
  );
}

interface OneDropProps {
  drop: number;
  many: readonly Called[];
  earlier: number | null;
  later: number | null;
  onSwap: (other: number) => void;
  onMerge: (other: number) => void;
  onName: (name: string) => void;
  onDrag: (drop: number) => void;
  onDropped: () => void;
}

function OneDrop(props: OneDropProps) {
  const { drop, many, earlier, later, onSwap, onMerge, onName, onDrag, onDropped } = props;
  return (
    <li
      class="line line-wrap"
      draggable
      onDragStart={() => onDrag(drop)}
      onDragOver={(event) => event.preventDefault()}
      onDrop={(event) => {
        event.preventDefault();
        onDropped();
      }}
    >
      <span class="row-no">{drop}</span>
      <span class="field field-tight">
        <input
          id={`drop-name-${drop}`}
          aria-label={`Name of drop ${drop}`}
          placeholder="Name, such as power first"
          maxLength={40}
          value={dropNames.value[String(drop)] ?? ""}
          onInput={(event) => onName(event.currentTarget.value)}
        />
      </span>
      <span class="grow">
        {many.length === 1 ? "1 case" : `${many.length} cases`}{" "}
        <span class="soft">
          {[...new Set(many.map(departmentOf))].filter((name) => name !== "").join(", ")}
        </span>
      </span>
      <Small
        label={`Drop ${drop} comes off earlier`}
        off={earlier === null}
        onPress={() => earlier !== null && onSwap(earlier)}
      >
        Earlier
      </Small>
      <Small
        label={`Drop ${drop} comes off later`}
        off={later === null}
        onPress={() => later !== null && onSwap(later)}
      >
        Later
      </Small>
      {earlier !== null && (
        <Small label={`Merge up with ${dropWords(earlier)}`} onPress={() => onMerge(earlier)}>
          Merge up
        </Small>
      )}
    </li>
  );
}

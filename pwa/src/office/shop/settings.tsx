/** The shop itself: its name, units and numbering, the checks of a vehicle and the night's walk. */
import { useEffect, useState } from "preact/hooks";
import { asWalked } from "../../core/put-away";
import { Button } from "../../ui/parts";
import { Text } from "../shared/text-field";
import { CheckAsks } from "./check-options";
import { type Check, ListEdit, type Stop } from "./checklist-editor";
import type { Shop } from "../shared/api-types";
import { call } from "../shared/api";
import { keepChanges, open, type Opened } from "../shared/changes";
import { Head, Pick, Small } from "../shared/controls";
import { unsaved } from "../shared/router";
import { cases, done, loadShop, shop, tried } from "../shared/state";

interface Lists {
  checks: Check[];
  walk: Stop[];
}
const MOVES = [
  ["shop_load", "Load at the shop"],
  ["load_in", "Load-in"],
  ["load_out", "Load-out"],
  ["put_away", "Put-away"],
] as const;

/** The shop as it was read, with the lists to begin with where it has none of its own. */
function useShop() {
  const [one, setOne] = useState<Shop>(shop.value);
  const [seen, setSeen] = useState<Opened<Shop> | null>(null);
  const [lists, setLists] = useState<Lists | null>(null);
  const load = async () => {
    const standard = await tried(() => call<Lists>("GET", "/shop/lists"));
    const got = standard && (await tried(() => open<Shop>("/shop")));
    if (!got) return;
    const { checks, walk } = got.document as unknown as Lists;
    setSeen(got);
    setOne(got.document);
    setLists({
      checks: checks.length ? checks : standard.checks,
      walk: walk.length ? walk : standard.walk,
    });
  };
  useEffect(() => void load(), []);
  return { one, setOne, lists, setLists, seen, load };
}

export function ShopRoom() {
  const { one, setOne, lists, setLists, seen, load } = useShop();
  if (!lists || !seen) return <p class="soft">One moment.</p>;
  const set = (change: Partial<Shop>) => {
    unsaved.value = true;
    setOne({ ...one, ...change });
  };
  const setBoth = (change: Partial<Lists>) => {
    unsaved.value = true;
    setLists({ ...lists, ...change });
  };
  const keep = async () => {
    const kept = await tried(() => keepChanges<Shop>("/shop", seen, { ...one, ...lists }));
    if (!kept) return;
    unsaved.value = false;
    await loadShop();
    await load();
    done.value = "Kept. Crews get the lists with the next look at their show.";
  };
  return (
    <>
      <Head title="Shop" sub="How it counts, numbers and checks" />
      <fieldset class="card form">
        <legend>The shop</legend>
        <Text id="shop-name" label="Name" value={one.name} onChange={(name) => set({ name })} />
        <Pick
          id="shop-length"
          label="Lengths in"
          value={one.units.length}
          options={[
            ["in", "inches"],
            ["cm", "centimetres"],
            ["mm", "millimetres"],
          ]}
          onChange={(length) =>
            set({ units: { ...one.units, length: length as Shop["units"]["length"] } })
          }
        />
        <Pick
          id="shop-mass"
          label="Masses in"
          value={one.units.mass}
          options={[
            ["lb", "pounds"],
            ["kg", "kilograms"],
          ]}
          onChange={(mass) => set({ units: { ...one.units, mass: mass as Shop["units"]["mass"] } })}
        />
        <Pick
          id="shop-language"
          label="Papers in"
          value={one.language}
          options={[
            ["en", "English"],
            ["es", "Spanish"],
          ]}
          onChange={(language) => set({ language: language as Shop["language"] })}
        />
        <Text
          id="shop-numbering"
          label="Your own numbering"
          most={40}
          value={one.numbering}
          onChange={(numbering) => set({ numbering })}
          hint="Empty: codes with a check character, which a wrong read cannot pass. A pattern such as @@-### (# digit, @ letter, * either) keeps an old numbering, without that protection."
        />
      </fieldset>
      {MOVES.map(([move, word]) => (
        <ListEdit
          key={move}
          id={move}
          word={`Checks: ${word}`}
          lines={lists.checks.filter((each) => each.move === move)}
          fresh={(id, text): Check => ({
            id,
            text,
            move,
            scope: "vehicle",
            gate: id,
            moment: "end",
            photo: false,
          })}
          more={(check, named, onLine) => (
            <CheckAsks check={check} word={named} onChange={onLine} />
          )}
          onChange={(mine) =>
            setBoth({ checks: [...lists.checks.filter((each) => each.move !== move), ...mine] })
          }
        />
      ))}
      <ListEdit
        id="walk"
        word="The night's walk"
        lines={lists.walk}
        fresh={(id, text): Stop => ({ id, text })}
        onChange={(walk) => setBoth({ walk })}
      />
      <Homes homes={one.homes} onChange={(homes) => set({ homes })} />
      <div>
        <Button id="keep-shop" tone="main" onPress={() => void keep()}>
          Keep
        </Button>
      </div>
    </>
  );
}

/** Where cases live, in the order in which they are walked at put-away. */
function Homes(props: { homes: readonly string[]; onChange: (homes: string[]) => void }) {
  const [text, setText] = useState(props.homes.join("\n"));
  const change = (typed: string) => {
    setText(typed);
    props.onChange([
      ...new Set(
        typed
          .split("\n")
          .map((home) => home.trim())
          .filter(Boolean),
      ),
    ]);
  };
  const lived = [...new Set((cases.value ?? []).map((each) => each.home))].filter(Boolean);
  return (
    <fieldset class="card stack">
      <legend>Homes in walking order</legend>
      <div class="field field-tight">
        <label for="shop-homes">One home a line, as you walk the shop</label>
        <textarea
          id="shop-homes"
          rows={6}
          value={text}
          aria-describedby="shop-homes-hint"
          onInput={(event) => change(event.currentTarget.value)}
        />
        <p id="shop-homes-hint" class="soft">
          Put-away lists follow it, here and on phones. Homes that are not named come after, A2
          before A10.
        </p>
      </div>
      <div>
        <Small id="all-homes" onPress={() => change(asWalked(lived, props.homes).join("\n"))}>
          Put in every home of the fleet
        </Small>
      </div>
    </fieldset>
  );
}

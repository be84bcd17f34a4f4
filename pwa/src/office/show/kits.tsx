/** Kits: cases that go together, called by one tick, or kept from what is called now. */
import { useState } from "preact/hooks";
import { DropOfAll, picked } from "./drop-choice";
import { type Kit, keepKits, kits } from "./kits-api";
import type { Called } from "../shared/api-types";
import { Small, Tick } from "../shared/controls";
import { byCode, done } from "../shared/state";

interface KitPartProps {
  called: readonly Called[];
  onChange: (called: readonly Called[]) => void;
}

const may = (code: string): boolean => {
  const state = byCode.value.get(code)?.state;
  return state === "good" || state === "damaged";
};

export function KitPart({ called, onChange }: KitPartProps) {
  const [name, setName] = useState("");
  const codes = new Set(called.map((each) => each.code));
  const turn = (kit: Kit, on: boolean) => {
    const mine = new Set(kit.codes);
    const rest = called.filter((each) => !mine.has(each.code));
    const added = on
      ? kit.codes
          .filter(may)
          .map((code): Called => called.find((each) => each.code === code) ?? picked(code))
      : [];
    onChange([...rest, ...added]);
  };
  const keep = async () => {
    if (name.trim() === "" || codes.size === 0) return;
    const kit = { id: "", name: name.trim(), codes: [...codes] };
    if (!(await keepKits([...kits.value, kit]))) return;
    setName("");
    done.value = `${kit.name} is a kit of ${kit.codes.length} cases now.`;
  };
  return (
    <fieldset class="card stack">
      <legend>Kits</legend>
      <div class="ticks">
        {kits.value.map((kit) => {
          const count = kit.codes.filter((code) => codes.has(code)).length;
          const whole = kit.codes.filter(may).length;
          return (
            <span key={kit.id} class="line">
              <Tick
                id={`kit-${kit.id}`}
                checked={count > 0 && count >= whole}
                some={count > 0 && count < whole}
                onChange={(on) => turn(kit, on)}
              >
                {kit.name} <span class="soft">{kit.codes.length} cases</span>
              </Tick>
              {count > 0 && <DropOfKit kit={kit} called={called} onChange={onChange} />}
              <Small
                label={`Forget the kit ${kit.name}`}
                onPress={() => {
                  if (confirm(`Forget the kit ${kit.name}? Its cases stay.`))
                    void keepKits(kits.value.filter((each) => each.id !== kit.id));
                }}
              >
                Forget
              </Small>
            </span>
          );
        })}
        {kits.value.length === 0 && <p class="soft">No kit yet.</p>}
      </div>
      <div class="sieve">
        <div class="field field-tight">
          <label for="kit-name">Keep what is called now as a kit</label>
          <input
            id="kit-name"
            value={name}
            maxLength={60}
            placeholder="Its name"
            onInput={(event) => setName(event.currentTarget.value)}
          />
        </div>
        <Small id="keep-kit" off={codes.size === 0} onPress={() => void keep()}>
          {`Keep ${codes.size} cases as a kit`}
        </Small>
      </div>
    </fieldset>
  );
}

interface DropOfKitProps extends KitPartProps {
  kit: Kit;
}

function DropOfKit({ kit, called, onChange }: DropOfKitProps) {
  const mine = new Set(kit.codes);
  return (
    <DropOfAll
      word={kit.name}
      drops={called.filter((each) => mine.has(each.code)).map((each) => each.drop)}
      onChange={(drop) =>
        onChange(called.map((each) => (mine.has(each.code) ? { ...each, drop } : each)))
      }
    />
  );
}

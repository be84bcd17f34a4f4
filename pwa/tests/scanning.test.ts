import assert from "node:assert/strict";
import { test } from "node:test";
import type { Key } from "../src/scan/layouts";
import { Burst } from "../src/scan/wedge";

/** A key of a US keyboard. */
function keyOf(sign: string): Key {
  const upper = sign.toUpperCase();
  const code = /[A-Z]/.test(upper)
    ? `Key${upper}`
    : /[0-9]/.test(sign)
      ? `Digit${sign}`
      : sign === "-"
        ? "Minus"
        : sign;
  return { key: sign, code, shift: false };
}

const key = (name: string): Key => ({ key: name, code: name, shift: false });

interface Typing {
  end?: string;
  inField?: boolean;
  isCode?: (text: string) => boolean;
}

/** Keys one after the other, `pause` ms apart, then what ends them. */
function typed(keys: readonly Key[], pause: number, how: Typing = {}): string | null {
  const { end = "Enter", inField = true, isCode } = how;
  const burst = new Burst(isCode);
  let now = 1_000;
  for (const one of keys) {
    assert.equal(burst.key(one, now, inField), null);
    now += pause;
  }
  return burst.key(key(end), now, inField)?.text ?? null;
}

const CODE = [..."PW-031-7"].map(keyOf);
const isOurs = (text: string) => text.toUpperCase() === "PW-031-7";

test("a scanner's burst is taken, a person's typing is not", () => {
  assert.equal(typed(CODE, 8), "PW-031-7");
  assert.equal(typed(CODE, 120), null);
  assert.equal(typed([..."abc"].map(keyOf), 8), null);
});

test("a slow scanner is heard where nobody types, if it spells a case of ours", () => {
  const slow = { inField: false, isCode: isOurs };
  for (const pause of [100, 150, 300, 500]) assert.equal(typed(CODE, pause, slow), "PW-031-7");
  assert.equal(typed(CODE, 700, slow), null);
  assert.equal(typed([..."NO-031-7"].map(keyOf), 150, { isCode: isOurs }), null);
});

test("a scanner may end with Tab", () => {
  assert.equal(typed(CODE, 8, { end: "Tab", isCode: isOurs }), "PW-031-7");
  assert.equal(typed([..."hello"].map(keyOf), 8, { end: "Tab", isCode: isOurs }), null);
});

// Places of keys by UI Events code values (W3C): what each keyboard writes for them is public record.
test("a scanner set to the US before a German or French phone", () => {
  const wanted = (text: string) => text === "ZY-061-A";
  const german = [..."ZY-061-A"].map((sign): Key => {
    const { code } = keyOf(sign);
    const writes: Record<string, string> = { KeyZ: "Y", KeyY: "Z", Minus: "\u00df" };
    return { key: writes[code] ?? sign, code, shift: false };
  });
  assert.equal(typed(german, 8, { isCode: wanted }), "ZY-061-A");
  const french = [..."ZY-061-A"].map((sign): Key => {
    const { code } = keyOf(sign);
    const writes: Record<string, string> = { KeyZ: "W", KeyA: "Q", Minus: ")", Digit0: "\u00e0" };
    return { key: writes[code] ?? sign, code, shift: false };
  });
  assert.equal(typed(french, 8, { isCode: wanted }), "ZY-061-A");
});

test("a scanner set to Germany or France before a US phone", () => {
  const wanted = (text: string) => text === "ZY-061-A";
  const places: Record<string, string> = { Z: "KeyY", Y: "KeyZ", "-": "Slash" };
  const german = [..."ZY-061-A"].map((sign): Key => {
    const code = places[sign] ?? keyOf(sign).code;
    return { key: code === "Slash" ? "/" : code.slice(-1), code, shift: false };
  });
  assert.equal(typed(german, 8, { isCode: wanted }), "ZY-061-A");
  const there: Record<string, string> = { Z: "KeyW", A: "KeyQ", "-": "Digit6" };
  const french = [..."ZY-061-A"].map((sign): Key => {
    const code = there[sign] ?? keyOf(sign).code;
    return { key: code.slice(-1), code, shift: /[0-9]/.test(sign) };
  });
  assert.equal(typed(french, 8, { isCode: wanted }), "ZY-061-A");
});

test("a short burst is taken where it is a code of the show", () => {
  const isCode = (text: string) => text === "K1";
  assert.equal(typed([..."K1"].map(keyOf), 5, { isCode }), "K1");
  assert.equal(typed([..."K2"].map(keyOf), 5, { isCode }), null);
});

test("a shift key within the burst is no sign of the text", () => {
  const keys = ["Shift", "P", "Shift", "W", "-", "0", "3"].map((name) =>
    name.length > 1 ? key(name) : keyOf(name),
  );
  assert.equal(typed(keys, 5), "PW-03");
});

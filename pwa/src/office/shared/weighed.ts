/** Masses of several cases in words: what nobody weighed is never shown as nothing. */
import { byCode } from "./state";
import { mass } from "./units";

export function allWeighed(codes: readonly string[]): boolean {
  return codes.every((code) => byCode.value.get(code)?.mass_g);
}

/** The sum, or that it is more. */
export function massOfAll(codes: readonly string[]): string {
  const sum = codes.reduce((total, code) => total + (byCode.value.get(code)?.mass_g ?? 0), 0);
  if (allWeighed(codes)) return mass(sum);
  return sum === 0 ? "not weighed" : `over ${mass(sum)}, not all weighed`;
}

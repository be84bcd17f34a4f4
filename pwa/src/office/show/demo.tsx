/** The demo beside the shop's own work: what it is, and its removal in one press. */
import { Button } from "../../ui/parts";
import { call } from "../shared/api";
import {
  cases,
  done,
  loadCases,
  loadShop,
  loadShows,
  loadVehicles,
  shows,
  tried,
} from "../shared/state";

export function Demo() {
  if (!shows.value?.some((each) => each.id === "demo")) return null;
  const remove = async () => {
    if (!confirm("Remove the demo show, its cases and its vehicles? What you made yourself stays."))
      return;
    const removed = await tried(() => call<{ cases: number }>("DELETE", "/demo"));
    if (removed === null) return;
    await Promise.all([loadShows(), loadCases(), loadVehicles(), loadShop()]);
    done.value = `The demo is removed with ${removed.cases} cases; ${cases.value?.length ?? 0} cases are left.`;
  };
  return (
    <section class="card line line-wrap" id="demo">
      <p class="grow">
        This shop holds the demo: an invented company with one show to try things on.
      </p>
      <Button id="remove-demo" onPress={() => void remove()}>
        Remove the demo
      </Button>
    </section>
  );
}

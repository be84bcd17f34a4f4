/** What to do first where no case is in the fleet. */
import { Button } from "../../ui/parts";
import { Empty } from "../shared/controls";
import { go } from "../shared/router";

export function EmptyFleet() {
  return (
    <Empty>
      <p>No case is here yet.</p>
      <p class="soft">
        Import the list your shop keeps, whatever its columns and units, or enter the first case by
        hand.
      </p>
      <Button icon="list" tone="main" id="first-list" onPress={() => go("fleet/list")}>
        Import your case list
      </Button>
    </Empty>
  );
}

/** Which room a path opens. */
import { AccountRoom } from "./account-room";
import { FitRoom } from "./fit-room";
import { Fleet } from "./fleet";
import { CASES, Import, VEHICLES } from "./import";
import { Reports } from "./reports";
import { path } from "./route";
import { ShopRoom } from "./shop-room";
import { ShowRoom } from "./show";
import { Shows } from "./shows";
import { Vehicles } from "./vehicles";

export function Rooms() {
  const [room = "", one = "", ...more] = path.value.split("/").map(decodeURIComponent);
  if (room === "fleet" && one === "import") return <Import key="cases" kind={CASES} />;
  if (room === "vehicles" && one === "import") return <Import key="vehicles" kind={VEHICLES} />;
  if (room === "fleet") return <Fleet open={one} />;
  if (room === "fit") return <FitRoom />;
  if (room === "shop") return <ShopRoom />;
  if (room === "account") return <AccountRoom />;
  if (room === "reports") return <Reports />;
  if (room === "vehicles") return <Vehicles open={one} />;
  if (room === "shows" && one !== "") return <ShowRoom key={one} id={one} part={more} />;
  return <Shows />;
}

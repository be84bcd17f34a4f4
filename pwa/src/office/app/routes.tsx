/** Which room a path opens. */
import { AccountRoom } from "./account";
import { HistoryRoom } from "./history";
import { AdvisorRoom } from "../advisor/room";
import { Fleet } from "../cases/list";
import { CASES, Import, VEHICLES } from "../cases/import";
import { Reports } from "../reports/reports";
import { ListImport } from "../cases/list-import";
import { path } from "../shared/router";
import { ShopRoom } from "../shop/settings";
import { ShowRoom } from "../show/show";
import { Shows } from "../show/list";
import { Vehicles } from "../vehicles/list";

export function Rooms() {
  const [room = "", one = "", ...more] = path.value.split("/").map(decodeURIComponent);
  if (room === "fleet" && one === "import") return <Import key="cases" kind={CASES} />;
  if (room === "fleet" && one === "list") return <ListImport />;
  if (room === "vehicles" && one === "import") return <Import key="vehicles" kind={VEHICLES} />;
  if (room === "fleet") return <Fleet open={one} />;
  if (room === "history") return <HistoryRoom kind={one} id={more[0] ?? ""} />;
  if (room === "fit") return <AdvisorRoom part={one} />;
  if (room === "shop") return <ShopRoom />;
  if (room === "account") return <AccountRoom />;
  if (room === "reports") return <Reports />;
  if (room === "vehicles") return <Vehicles open={one} />;
  if (room === "shows" && one !== "") return <ShowRoom key={one} id={one} part={more} />;
  return <Shows />;
}

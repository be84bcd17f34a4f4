/** Wiring of the office: who is in, then its screens. */
import "../../i18n/with-late";
import { h, render } from "preact";
import { Office } from "./office";
import { look } from "../shared/state";

const place = document.getElementById("app");
if (place) render(h(Office, {}), place);
void look();

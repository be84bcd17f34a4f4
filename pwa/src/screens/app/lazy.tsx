/** All that is needed now and then, one file: loaded behind the scanner, kept for the night. */
import "../../i18n/with-late";
export { Add } from "../case/add";
export { Briefing } from "../next/briefing";
export { CaseScreen } from "../case/case";
export { Checks } from "../checks/checks";
export { HandOver } from "../phone/hand-over";
export { Hazards } from "../checks/hazards";
export { Link } from "../phone/connection";
export { More } from "./menu";
export { NotOn } from "../rows/not-on";
export { Recent } from "../scan/recent";
export { Rows } from "../rows/rows";
export { Row } from "../rows/row";
export { Settings } from "../phone/settings";
export * from "../chief";

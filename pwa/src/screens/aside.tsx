/** What a loader needs now and then: loaded when first asked for, and kept for the night. */
export { Add } from "./add";
export { Briefing } from "./briefing";
export { CaseScreen } from "./case";
export { Checks } from "./checks";
export { HandOver } from "./hand-over";
export { Hazards } from "./hazards";
export { Link } from "./link";
export { More } from "./more";
export { Row } from "./row";
export { Settings } from "./settings";

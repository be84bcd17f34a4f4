/** The scanner: loaded as soon as the first screen after joining stands, before any other part. */
import "../../i18n/with-late";
export { Scan } from "./scan";

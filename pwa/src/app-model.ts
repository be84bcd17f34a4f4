/**
 * What screens may use of the engine: signals to read, actions to call. Nothing else of
 * `store/`, `sync/`, `scan/` or `model/` is imported by a screen.
 *
 * Actions that make an event return once it is safe in the phone's storage, never before; they
 * throw nothing at a screen: trouble goes to the signal `trouble`, and they answer null or false.
 */
export * from "./model/signals";
export { join, signOutWhenEmpty, type JoinAnswer } from "./model/joining";
export { choose, prefer } from "./model/choices";
export { revisionSeen } from "./model/evening";
export { photograph, report, undo, writing, type Where } from "./model/report";
export { painted } from "./model/painted";
export { catchScans, chooseSeen, collectSeen, scan, sighted, stopRead } from "./model/scanning";
export { casePhoto } from "./sync/case-photos";
export { refreshDevices, retry } from "./model/sync";
export { acceptUpdate, cameAgain, reloadForParts } from "./model/update";

/**
 * What screens may use of the engine: signals to read, actions to call. Nothing else of
 * `store/`, `sync/`, `scan/` or `model/` is imported by a screen.
 *
 * Actions that make an event return once it is safe in the phone's storage, never before; they
 * throw nothing at a screen: trouble goes to the signal `trouble`, and they answer null or false.
 */
export * from "./model/signals";
export { join, leave, signOutWhenEmpty, type JoinAnswer } from "./model/joining";
export { choose, prefer } from "./model/choices";
export { report, undo, photograph, type Where } from "./model/report";
export { scan, type Scanned } from "./model/scanning";
export { exportUnsent, importCarried } from "./model/carry";
export { retry, refreshDevices } from "./sync/sync";
export { acceptUpdate } from "./update";
export { say } from "./speech";
export { startCamera, type Camera, type CameraTrouble } from "./scan/camera";
export { readPhoto, readRowPhoto } from "./scan/photo";

/** As `app-model.ts`, for what only the late screens ask of the server: no loader waits for it. */
export { exportUnsent, importCarried, showHandover } from "./model/carry";
export {
  issueProposal,
  planAgain,
  vehiclesToTake,
  whyNot,
  type Proposal,
  type VehicleName,
  type Wishes,
} from "./model/plan-again";
export { bindTag } from "./model/bind";
export { savePaper, type Fetched } from "./model/papers";
export { recentOwn, type Recent } from "./model/recent";
export { signPhoneOut } from "./model/phone-out";
export { knownEvents } from "./model/evening";
export {
  readPhoto,
  readRowPhoto,
  scanChosen,
  scanPhoto,
  takeRowPhoto,
  type Chosen,
  type PhotoRead,
  type RowRead,
} from "./model/photo";

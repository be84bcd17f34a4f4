/** As `app-model.ts`, for what only the late screens ask of the server: no loader waits for it. */
export { savePaper, type Fetched } from "./model/papers";
export { recentOwn, type Recent } from "./model/recent";
export { signPhoneOut } from "./model/phone-out";
export { knownEvents } from "./model/evening";

/** The chief's screens: loaded when first asked for, so that a loader's phone never waits on them. */
import "../../i18n/with-late";
export { Vehicles } from "./vehicles";
export { Bind } from "./bind";
export { Excuse } from "./excuse";
export { Wrong } from "./wrong";
export { Hands } from "./hands";
export { Walk } from "./walk";
export { Release } from "./release";
export { Released } from "./released";
export { SignOff } from "./sign-off";
export { Papers } from "./papers";
export { Phones } from "./phones";
export { Changes } from "./changes";
export { PlanAgain } from "./plan-again";

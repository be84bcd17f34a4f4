/** Lets the hand and the ear know the answer, as far as the crew wants it and the phone can. */
import { sound } from "./signals";
import { buzz, play, wakeSound, type AnswerKind } from "../ui/feedback";

export function feel(kind: AnswerKind): void {
  buzz(kind);
  if (sound.value) play(kind);
}

/** Browsers let sound begin only inside a tap: the first one wakes it. */
export function wakeOnFirstTap(): void {
  addEventListener("pointerdown", wakeSound, { once: true });
  addEventListener("keydown", wakeSound, { once: true });
}

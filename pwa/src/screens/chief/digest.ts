/** What a signature stands under: the head of the record over every event that this phone knows. */
import { session } from "../../app-model";
import { covers, head, type Covers } from "../../core/record-chain";
import { knownEvents } from "../../app-model-chief";

/** The digest, and which events it was made over, so that it can be checked among later ones. */
export function sealNow(): { digest: string; covers: Covers } {
  const known = knownEvents();
  return { digest: head(session.value?.show ?? "", known), covers: covers(known) };
}

/** What a signature stands under: the head of the record over every event that this phone knows. */
import { session } from "../../app-model";
import { head } from "../../core/record-chain";
import { knownEvents } from "../../model/evening";

export const digestNow = (): string => head(session.value?.show ?? "", knownEvents());

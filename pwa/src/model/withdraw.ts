/** What the server can never take has a number all the same: nobody shall wait for it. */
import type { RefusedEvent } from "../store/db";
import { append } from "../store/outbox";
import { knownEvents, takeIn } from "./evening";
import { making } from "./making";
import { bundle, move, session } from "./signals";

/** Say once of each own refused number that it will never come. */
export async function withdrawRefused(refused: readonly RefusedEvent[]): Promise<void> {
  const now = session.value;
  if (!now) return;
  const said = new Set(
    knownEvents().flatMap(({ device, body }) =>
      body.kind === "withdrawn" && device === now.device ? body.numbers : [],
    ),
  );
  const numbers = refused
    .map(({ event }) => event)
    // a refused withdrawal is not withdrawn again, or it would go on for ever
    .filter(({ show, device }) => show === now.show && device === now.device)
    .filter(({ body }) => body.kind !== "withdrawn")
    .map(({ n }) => n)
    .filter((n) => !said.has(n));
  if (numbers.length === 0) return;
  const scene = {
    move: move.value ?? "shop_load",
    vehicle: null,
    revision: bundle.value?.revision ?? 0,
  } as const;
  takeIn([await append(making(now, scene, { kind: "withdrawn", numbers }))]);
}

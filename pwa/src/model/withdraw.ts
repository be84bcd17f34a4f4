/** What the server refused: made again where that mends it, else its number is withdrawn. */
import type { RefusedEvent } from "../store/db";
import { numbersFrom } from "../store/meta";
import { append, forgetRefused } from "../store/outbox";
import { knownEvents, takeIn } from "./evening";
import { making } from "./making";
import { bundle, move, session } from "./signals";

/**
 * Make facts again whose running number another fact of this phone has.
 *
 * The phone's storage went back to an earlier state, as after a crash: what it had sent since then
 * stands in the server's log, and its numbers go on after that.
 */
export async function renumber(refused: readonly RefusedEvent[]): Promise<void> {
  const now = session.value;
  const taken = refused.filter(
    ({ code, show, event }) =>
      code === "number_taken" && show === now?.show && event.device === now.device,
  );
  if (!now || taken.length === 0) return;
  const own = knownEvents().filter(({ device }) => device === now.device);
  await numbersFrom(own.reduce((most, { n }) => Math.max(most, n), 0));
  for (const { event } of taken) {
    const { move, vehicle, revision, body } = event;
    takeIn([await append(making(now, { move, vehicle, revision }, body))]);
  }
  await forgetRefused(taken.map(({ id }) => id));
}

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
    // the number of such a fact is there, under another fact
    .filter(({ code }) => code !== "number_taken")
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

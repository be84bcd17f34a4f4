/** The office at the shop door: it joins its own show as a desk and reports cases staged. */
import { hlcText, NEW_CLOCK, tick, uuid7 } from "../../core/clock";
import { call, Refused } from "../shared/api";
import { name, tried } from "../shared/state";

interface Desk {
  device: string;
  key: string;
  by: string;
  n: number;
}

const keyOf = (show: string): string => `rowcall.office.desk.${show}`;

function kept(show: string): Desk | null {
  try {
    return JSON.parse(localStorage.getItem(keyOf(show)) ?? "null") as Desk | null;
  } catch {
    return null;
  }
}

function keep(show: string, desk: Desk): void {
  try {
    localStorage.setItem(keyOf(show), JSON.stringify(desk));
  } catch {
    // storage may be barred: then the next page is another desk
  }
}

/** Join the show as the owner; a desk that the show knows proves itself by its key. */
async function join(show: string, before: Desk | null): Promise<Desk> {
  const { code } = await call<{ code: string | null }>("GET", `/shows/${show}/join`);
  if (!code) throw new Refused(409, "This show has no join code: make a new one under Crew.", []);
  const made = [...crypto.getRandomValues(new Uint8Array(6))];
  const device = before?.device ?? `office-${made.map((one) => one.toString(36)).join("")}`;
  const body = {
    code,
    name: name.value,
    device,
    ...(before ? { device_key: before.key } : {}),
  };
  const answer = await call<{ session: { id: string }; device_key: string }>("POST", "/join", body);
  return { device, key: answer.device_key, by: answer.session.id, n: before?.n ?? 0 };
}

/** Say that a case stands in its lane; null: the server refused, and why is shown. */
export function stage(
  show: string,
  revision: number,
  seen: { code: string; vehicle: string; place: string; read: "wedge" | "typed" },
): Promise<boolean | null> {
  return tried(async () => {
    const desk = kept(show) ?? (await join(show, null));
    try {
      return await send(show, revision, desk, seen);
    } catch (error) {
      if (!(error instanceof Refused) || error.status !== 403) throw error;
      return send(show, revision, await join(show, desk), seen);
    }
  });
}

async function send(
  show: string,
  revision: number,
  desk: Desk,
  seen: { code: string; vehicle: string; place: string; read: "wedge" | "typed" },
): Promise<boolean> {
  const now = Date.now();
  const clock = tick(NEW_CLOCK, { wall: now, steady: performance.now() });
  const next = { ...desk, n: desk.n + 1 };
  const { code, vehicle, place, read } = seen;
  const event = {
    v: 1,
    id: uuid7(now, crypto.getRandomValues(new Uint8Array(10))),
    show,
    move: "shop_load",
    vehicle,
    device: desk.device,
    n: next.n,
    by: { id: desk.by, name: name.value, role: "owner" },
    at: now,
    hlc: hlcText(clock, desk.device),
    revision,
    body: { kind: "seen", code, place, read },
  };
  const answer = await call<{ stored: string[]; refused: { reason: string }[] }>(
    "POST",
    `/shows/${show}/events`,
    { device: desk.device, events: [event], since: 0 },
  );
  const why = answer.refused[0]?.reason;
  if (why) throw new Refused(422, why, []);
  keep(show, next);
  return true;
}

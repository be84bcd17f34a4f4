/** Tilt of a phone that lies on the ramp, in degrees along its long side; null where none is told. */

const LISTEN_MS = 1_500;

interface Asks {
  requestPermission?: () => Promise<string>;
}

/** The mean of what the sensor says for a moment; null without a sensor or without leave to read. */
export async function readTilt(): Promise<number | null> {
  if (typeof DeviceOrientationEvent === "undefined") return null;
  const asks = DeviceOrientationEvent as unknown as Asks;
  if (
    asks.requestPermission &&
    (await asks.requestPermission().catch(() => "denied")) !== "granted"
  )
    return null;
  const heard: number[] = [];
  const hear = ({ beta }: DeviceOrientationEvent) => {
    if (beta !== null) heard.push(beta);
  };
  addEventListener("deviceorientation", hear);
  await new Promise((done) => setTimeout(done, LISTEN_MS));
  removeEventListener("deviceorientation", hear);
  return heard.length === 0 ? null : heard.reduce((sum, one) => sum + one, 0) / heard.length;
}

/** Slope from two readings, the phone turned end for end between them: its own offset cancels. */
export const bothWays = (one: number, other: number): number => Math.abs(one - other) / 2;

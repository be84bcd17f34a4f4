/** Keeps the screen on while the crew is at work; the lock ends with every look elsewhere. */
let wanted = false;
let lock: WakeLockSentinel | null = null;

export function keepAwake(on: boolean): void {
  wanted = on;
  if (on) void take();
  else void lock?.release().catch(() => undefined);
}

async function take(): Promise<void> {
  const wake = (navigator as { wakeLock?: WakeLock }).wakeLock;
  if (!wake || document.visibilityState !== "visible") return;
  // refused when the battery is low: then the screen goes dark as it always did
  lock = await wake.request("screen").catch(() => null);
}

document.addEventListener("visibilitychange", () => {
  if (wanted) void take();
});

/** After the picture: what may wait until the glass has changed, so that it changes sooner. */

/** A page that is not looked at draws nothing; what was put off must not wait for it. */
const LONGEST_MS = 120;

/** Comes once what was drawn last is on the glass: a message sent from a frame comes after it. */
export function painted(): Promise<void> {
  return new Promise((done) => {
    setTimeout(done, LONGEST_MS);
    if (typeof requestAnimationFrame !== "function") return;
    requestAnimationFrame(() => {
      const after = new MessageChannel();
      after.port1.onmessage = () => {
        // an open port would stay for ever
        after.port1.close();
        setTimeout(done);
      };
      after.port2.postMessage(null);
    });
  });
}

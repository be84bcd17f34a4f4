"""Measures inside the page, from a key or from what the decoder read to what is on the glass."""

from __future__ import annotations

from typing import Final

# Called with [code, kind of answer]; milliseconds from the last key of a scanner that types until
# the picture with the answer is painted: a message sent from an animation frame comes after it.
FROM_KEY_TO_GLASS: Final = """([code, kind]) => new Promise(done => {
  let pressed = 0;
  const seen = new MutationObserver(() => {
    const answer = document.querySelector(`[data-answer=${kind}]`);
    if (!answer?.textContent.includes(code)) return;
    seen.disconnect();
    requestAnimationFrame(() => {
      const painted = new MessageChannel();
      painted.port1.onmessage = () => done(performance.now() - pressed);
      painted.port2.postMessage(null);
    });
  });
  seen.observe(document.body, { childList: true, subtree: true, characterData: true });
  for (const key of [...code, "Enter"]) {
    pressed = performance.now();
    document.body.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
  }
})"""

# Run before the page's own script. `glass` holds code → kind of answer and milliseconds from the
# moment in which the reader had the first camera picture with this code in it until the picture
# with the answer is painted; `looks` how many pictures were looked through, and in how long. A stop
# is dismissed, so that the next one shows.
FROM_FRAME_TO_GLASS: Final = """(() => {
  const read = new Map();
  window.glass = {};
  window.looks = { count: 0, first: 0, last: 0 };
  window.Worker = class extends Worker {
    constructor(...how) {
      super(...how);
      this.addEventListener("message", ({ data }) => {
        if (!data.look) return;
        const now = performance.now();
        window.looks.count += 1;
        window.looks.first ||= now;
        window.looks.last = now;
        for (const { text } of data.hits)
          if (!read.has(text)) read.set(text, data.look.taken - performance.timeOrigin);
      });
    }
  };
  const look = () => {
    const answer = document.querySelector("[data-answer]");
    const says = answer?.textContent ?? "";
    // an answer names its own case first, and may name others: what must go before it
    const place = one => says.indexOf(one);
    const [code] = [...read.keys()].filter(one => says.includes(one))
      .sort((a, b) => place(a) - place(b));
    if (!code) return;
    const kind = answer.dataset.answer;
    if (code in window.glass) {
      // the film goes round: a stop that comes again must not cover the labels behind it
      if (kind === "other_vehicle") setTimeout(() => document.querySelector("#dismiss")?.click());
      return;
    }
    window.glass[code] = [kind, Infinity];
    requestAnimationFrame(() => {
      const painted = new MessageChannel();
      painted.port1.onmessage = () => {
        window.glass[code] = [kind, performance.now() - read.get(code)];
        if (kind === "other_vehicle") document.querySelector("#dismiss")?.click();
      };
      painted.port2.postMessage(null);
    });
  };
  new MutationObserver(look)
    .observe(document, { childList: true, subtree: true, characterData: true, attributes: true });
})()"""

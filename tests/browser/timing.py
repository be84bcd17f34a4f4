"""Measures inside the page, from a key to what is on the glass."""

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

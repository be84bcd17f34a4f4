/** Which labels the camera holds in view, so that one label counts once however long it is held. */
export class InView {
  private readonly last = new Map<string, number>();

  /** `gone_ms`: how long a label must be out of view before it counts anew. */
  constructor(private readonly gone_ms = 3_000) {}

  /** Report a sighting; true only when the label has just come into view. */
  see(text: string, now: number): boolean {
    const before = this.last.get(text);
    this.last.set(text, now);
    return before === undefined || now - before > this.gone_ms;
  }

  /** What was seen could not be kept: the next sighting counts as the first. */
  forget(text: string): void {
    this.last.delete(text);
  }
}

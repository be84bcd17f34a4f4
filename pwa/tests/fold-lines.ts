// Folds what comes as JSON lines and says what came out: the server's tests compare it with theirs.
import { createInterface } from "node:readline";
import { answerScan, rowsToOpen, type Scan } from "../src/core/answer";
import type { Bundle } from "../src/core/bundle";
import type { RowcallEvent } from "../src/core/events";
import { fold } from "../src/core/fold";
import { nextUp, type Where } from "../src/core/next-up";
import { head } from "../src/core/record-chain";
import { releaseReasons } from "../src/core/release";

interface Question {
  bundle: Bundle | null;
  events: RowcallEvent[];
  arrived: Record<string, [number, number]>;
  scans: Scan[];
  legs: Where[];
}

let bundle: Bundle | null = null;

function answer(question: Question): unknown {
  bundle = question.bundle ?? bundle;
  if (bundle === null) throw new Error("fold-lines: expected a bundle in the first line");
  const held = bundle;
  const arrived = Object.entries(question.arrived).map(
    ([id, [seq, at]]) => [id, { seq, at }] as const,
  );
  const state = fold(held, question.events, new Map(arrived));
  return {
    state,
    answers: question.scans.map((scan) => answerScan(state, held, scan)),
    steps: question.legs.map((leg) => nextUp(state, held, leg)),
    reasons: question.legs.map((leg) => releaseReasons(state, held, leg)),
    to_open: question.legs.map((leg) => {
      const found = state.legs[leg.move][leg.vehicle];
      return found === undefined ? [] : rowsToOpen(found, 1);
    }),
    head: head(held.show.id, question.events),
  };
}

for await (const line of createInterface({ input: process.stdin }))
  process.stdout.write(`${JSON.stringify(answer(JSON.parse(line) as Question))}\n`);

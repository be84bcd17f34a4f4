// Verifies records that come as JSON lines: the server's tests compare the answers with theirs.
import { createInterface } from "node:readline";
import { brokenSeal, findings, readRecord } from "../src/verify/check";

for await (const line of createInterface({ input: process.stdin })) {
  const { record, key } = JSON.parse(line) as { record: string; key: string };
  let answer: unknown;
  try {
    const read = readRecord(record);
    const found = findings(read);
    answer = { findings: found, seal: found.length > 0 ? null : await brokenSeal(read, key) };
  } catch (error) {
    answer = { none: String(error) };
  }
  process.stdout.write(`${JSON.stringify(answer)}\n`);
}

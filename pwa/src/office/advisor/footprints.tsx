/** Footprints found for new cases, and the best sets of sizes. */
import type { Need } from "./need-fields";
import { difference, volume, type Span, type Verdict } from "./words";
import { length } from "../shared/units";

interface Size {
  length_um: number;
  width_um: number;
}
interface Ranked extends Size {
  added: Span & { verdict: Verdict };
  each_um: number;
  inside_um3: number;
  tie: boolean;
}
interface SizeSet {
  at_most: number;
  sizes: (Size & { split: number[] })[];
  added: Span;
  proven: boolean;
  gap_um: number;
  ties: Size[][];
}
export interface Bought {
  note: string;
  tried: number;
  loads: number;
  whole: boolean;
  left_out: string[];
  sentence: string;
  ranked: Ranked[];
  sets: SizeSet[];
}

const sides = (size: Size): string => `${length(size.length_um)} × ${length(size.width_um)}`;

export function Footprints({ found, needs }: { found: Bought; needs: readonly Need[] }) {
  return (
    <section class="card stack" aria-label="Footprints found">
      <h2>{found.sentence}</h2>
      <p class="soft">
        {found.tried} footprints compared{found.loads > 1 ? ` over ${found.loads} loads` : ""}.{" "}
        {found.note}
      </p>
      {found.left_out.map((each) => (
        <p key={each} class="note">
          {each}
        </p>
      ))}
      {found.ranked.length > 0 && <RankedTable ranked={found.ranked} />}
      {found.sets
        .filter((each) => each.at_most > 1 || found.ranked.length === 0)
        .map((each) => (
          <SetLine key={each.at_most} set={each} needs={needs} />
        ))}
    </section>
  );
}

function RankedTable({ ranked }: { ranked: Ranked[] }) {
  return (
    <div class="wide-table" tabIndex={0} role="group" aria-label="Footprints, scrolls sideways">
      <table class="plain" id="footprints">
        <thead>
          <tr>
            <th scope="col">Footprint</th>
            <th scope="col">Floor they add, a load</th>
            <th scope="col">Room inside one</th>
            <th scope="col">Standing</th>
          </tr>
        </thead>
        <tbody>
          {ranked.map((each, index) => (
            <tr key={sides(each)}>
              <td>
                <b class={index === 0 ? "tall good" : "tall"}>{sides(each)}</b>
              </td>
              <td class="tab-num">{length(each.each_um)}</td>
              <td class="tab-num">{volume(each.inside_um3)}</td>
              <td>
                {each.tie
                  ? "least floor, proven"
                  : each.added.low_um === each.added.high_um
                    ? "proven"
                    : `all together ${difference(each.added)}`}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function SetLine({ set, needs }: { set: SizeSet; needs: readonly Need[] }) {
  const words = (split: number[]) =>
    split
      .map((many, at) => (many > 0 ? `${many} for ${needs[at]?.name || `kind ${at + 1}`}` : ""))
      .filter(Boolean)
      .join(", ");
  return (
    <div class="stack">
      <h3>
        {set.at_most === 1 ? "One size" : `Up to ${set.at_most} sizes`}: {difference(set.added)}
      </h3>
      <ul>
        {set.sizes.map((each) => (
          <li key={sides(each)}>
            <b>{sides(each)}</b>, {words(each.split)}
          </li>
        ))}
      </ul>
      <p class="soft">
        {set.proven
          ? "Proven: no other choice of sizes takes less floor."
          : `Not proven: another choice may save up to ${length(set.gap_um)}.`}
        {set.ties.length > 0 &&
          ` A tie with ${set.ties.map((tie) => tie.map(sides).join(" and ")).join("; ")}.`}
      </p>
    </div>
  );
}

/** A load in three dimensions: turned, opened row by row, played in the order of loading. */
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { VehicleSheet } from "../../../core/bundle";
import { Small } from "../../shared/controls";
import { byCode } from "../../shared/state";
import { mass } from "../../shared/units";
import { tintBy, tintsOf } from "../tint";
import { hit, paint, type Palette, type Scene } from "./paint";
import { blocksOf, FROM_DOOR, type Block, type View } from "./space";
import { standsOf } from "./stands";

const STEP = Math.PI / 18;
const SLIDE_MS = 450;
const VIEWS = [
  ["From the door", FROM_DOOR],
  ["From the driver's side", { turn: Math.PI / 2 - 0.35, tilt: 0.35 }],
  ["From above", { turn: 0, tilt: 1.35 }],
] as const satisfies readonly (readonly [string, View])[];

const clamp = (value: number, least: number, most: number): number =>
  Math.min(most, Math.max(least, value));

function palette(of: HTMLElement): Palette {
  const style = getComputedStyle(of);
  const read = (name: string) => style.getPropertyValue(name).trim();
  return {
    ground: read("--ground"),
    ink: read("--ink"),
    soft: read("--soft"),
    line: read("--line"),
    block: read("--case"),
    chosen: read("--ask"),
    chosenInk: read("--ask-ink"),
  };
}

/** How many cases are in, and how far the last one has come through the door, 0 to 1. */
interface Loaded {
  count: number;
  come: number;
}

/** Plays the loading: one case after the other; `still`: without sliding. */
function usePlay(most: number) {
  const [loaded, setLoaded] = useState<Loaded>({ count: most, come: 1 });
  const [playing, setPlaying] = useState(false);
  useEffect(() => {
    if (!playing) return;
    const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    let asked = 0;
    let last = performance.now();
    const tick = (now: number) => {
      const more = (now - last) / SLIDE_MS;
      last = now;
      setLoaded(({ count, come }) => {
        if (come + more < 1) return { count, come: come + more };
        if (count >= most) setPlaying(false);
        return count >= most ? { count, come: 1 } : { count: count + 1, come: still ? 0.999 : 0 };
      });
      asked = requestAnimationFrame(tick);
    };
    asked = requestAnimationFrame(tick);
    return () => cancelAnimationFrame(asked);
  }, [playing, most]);
  const play = () => {
    if (!playing && loaded.count >= most) setLoaded({ count: 1, come: 0 });
    setPlaying(!playing);
  };
  const step = (by: number) => {
    setPlaying(false);
    setLoaded(({ count }) => ({ count: clamp(count + by, 0, most), come: 1 }));
  };
  return { loaded, playing, play, step };
}

/** The blocks that are in, those of rows not shown left out, the last one on its way. */
function shownBlocks(
  all: ReadonlyMap<string, Block>,
  sheet: VehicleSheet,
  loaded: Loaded,
  rows: number,
): Block[] {
  const come = loaded.come * (2 - loaded.come);
  return sheet.load.slice(0, loaded.count).flatMap((code, n) => {
    const block = all.get(code);
    if (!block || block.row > rows) return [];
    if (n + 1 < loaded.count || come >= 1) return [block];
    const off = (block.min[1] + 1200) * (1 - come);
    const slid = ([x, y, z]: Block["min"]): Block["min"] => [x, y - off, z];
    return [{ ...block, min: slid(block.min), max: slid(block.max) }];
  });
}

export function Model({ sheet }: { sheet: VehicleSheet }) {
  const [view, setView] = useState<View>(FROM_DOOR);
  const [rows, setRows] = useState(sheet.rows.length);
  const [chosen, setChosen] = useState("");
  const { loaded, playing, play, step } = usePlay(sheet.load.length);
  const all = useMemo(() => new Map(blocksOf(sheet).map((one) => [one.code, one])), [sheet]);
  const tints = useMemo(() => tintsOf(tintBy.value, sheet.load), [sheet, tintBy.value]);
  const blocks = useMemo(() => shownBlocks(all, sheet, loaded, rows), [all, sheet, loaded, rows]);
  const stands = standsOf(sheet, chosen);
  const scene: Scene = {
    blocks,
    space: [sheet.length_um / 1000, sheet.width_um / 1000, sheet.height_um / 1000],
    tints,
    chosen,
    near: new Set([...(stands?.on ?? []), ...(stands?.carries ?? [])]),
    driverLeft: sheet.driver_side === "left",
  };
  const turn = (by: number, tilt = 0) =>
    setView(({ turn: now, tilt: high }) => ({
      turn: now + by,
      tilt: clamp(high + tilt, 0.08, 1.5),
    }));
  return (
    <div class="stack model" data-model={sheet.id}>
      <Picture {...{ sheet, scene, view, turn, play }} onChoose={setChosen} />
      <Controls {...{ sheet, rows, setRows, playing, play, step, turn }} onView={setView} />
      <Said sheet={sheet} chosen={chosen} count={loaded.count} playing={playing} />
    </div>
  );
}

interface PictureProps {
  sheet: VehicleSheet;
  scene: Scene;
  view: View;
  turn: (by: number, tilt?: number) => void;
  play: () => void;
  onChoose: (code: string) => void;
}

function Picture({ sheet, scene, view, turn, play, onChoose }: PictureProps) {
  const place = useRef<HTMLCanvasElement>(null);
  const drag = useRef({ x: 0, y: 0, far: 0, down: false });
  useEffect(() => {
    const canvas = place.current;
    const to = canvas?.getContext("2d");
    if (!canvas || !to) return;
    const dense = Math.min(2, devicePixelRatio || 1);
    const [wide, tall] = [canvas.clientWidth * dense, canvas.clientHeight * dense].map(Math.round);
    if (canvas.width !== wide) canvas.width = wide ?? 0;
    if (canvas.height !== tall) canvas.height = tall ?? 0;
    paint(to, scene, view, palette(canvas));
  });
  const keys: Record<string, () => void> = {
    ArrowLeft: () => turn(-STEP),
    ArrowRight: () => turn(STEP),
    ArrowUp: () => turn(0, STEP),
    ArrowDown: () => turn(0, -STEP),
    " ": play,
  };
  const choose = (event: PointerEvent) => {
    const canvas = place.current;
    if (!canvas) return;
    const dense = canvas.width / canvas.clientWidth;
    const box = canvas.getBoundingClientRect();
    const point = { x: (event.clientX - box.left) * dense, y: (event.clientY - box.top) * dense };
    onChoose(hit(canvas, scene, view, point));
  };
  return (
    <canvas
      ref={place}
      class="model-picture"
      tabIndex={0}
      role="img"
      aria-label={`${sheet.name} in three dimensions. Arrow keys turn it, space plays the loading.`}
      onKeyDown={(event) => {
        const act = keys[event.key];
        if (act) event.preventDefault();
        act?.();
      }}
      onPointerDown={(event) => {
        drag.current = { x: event.clientX, y: event.clientY, far: 0, down: true };
        event.currentTarget.setPointerCapture(event.pointerId);
      }}
      onPointerMove={(event) => {
        const from = drag.current;
        if (!from.down) return;
        const [x, y] = [event.clientX - from.x, event.clientY - from.y];
        turn(-x / 160, y / 200);
        drag.current = { ...from, x: event.clientX, y: event.clientY, far: from.far + Math.abs(x) };
      }}
      onPointerUp={(event) => {
        if (drag.current.far < 6) choose(event);
        drag.current.down = false;
      }}
    />
  );
}

interface ControlsProps {
  sheet: VehicleSheet;
  rows: number;
  setRows: (rows: number) => void;
  playing: boolean;
  play: () => void;
  step: (by: number) => void;
  turn: (by: number) => void;
  onView: (view: View) => void;
}

function Controls(props: ControlsProps) {
  const { sheet, rows, setRows, playing, play, step, turn, onView } = props;
  const id = `model-rows-${sheet.id}`;
  return (
    <div class="line line-wrap">
      <Small label="Turn left" onPress={() => turn(-STEP * 2)}>
        Turn ←
      </Small>
      <Small label="Turn right" onPress={() => turn(STEP * 2)}>
        Turn →
      </Small>
      {VIEWS.map(([word, view]) => (
        <Small key={word} onPress={() => onView(view)}>
          {word}
        </Small>
      ))}
      <Small pressed={playing} onPress={play}>
        {playing ? "Pause" : "Play the loading"}
      </Small>
      <Small label="One case back" onPress={() => step(-1)}>
        − 1 case
      </Small>
      <Small label="One case further" onPress={() => step(1)}>
        + 1 case
      </Small>
      <label class="field field-tight" for={id}>
        Rows shown from the bulkhead: {rows}
        <input
          id={id}
          type="range"
          min={1}
          max={Math.max(1, sheet.rows.length)}
          value={rows}
          onInput={(event) => setRows(Number(event.currentTarget.value))}
        />
      </label>
    </div>
  );
}

/** The chosen case in words, or the one that was loaded last. */
function Said(props: { sheet: VehicleSheet; chosen: string; count: number; playing: boolean }) {
  const { sheet, chosen, count, playing } = props;
  const code = chosen || (sheet.load[count - 1] ?? "");
  const found = standsOf(sheet, code);
  const card = byCode.value.get(code);
  const first = found?.first.length ?? 0;
  const words = found && [
    `${code} ${card?.name ?? ""}`.trim(),
    card?.mass_g ? mass(card.mass_g) : "not weighed",
    `row ${found.row}`,
    found.on.length > 0 ? `stands on ${found.on.join(" and ")}` : "on the floor",
    found.carries.length > 0 ? `carries ${found.carries.join(", ")}` : "",
    first === 0 ? "nothing comes off before it" : `${first} come off before it`,
  ];
  return (
    <p role="status" aria-live={playing ? "off" : "polite"} class="model-said">
      <b>{`${count} of ${sheet.load.length} loaded. `}</b>
      {words?.filter((one) => one !== "").join(", ")}
    </p>
  );
}

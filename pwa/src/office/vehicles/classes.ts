/**
 * Classes of hired vehicles with figures of our own to begin with. They are common practice with no
 * source: the vehicle's own plate and a tape measure replace them before anything is planned. No
 * rating of a ramp or strap is among them: a figure of ours must not refuse or allow anything alone,
 * so what is not read from plate and label stays unknown and is asked for.
 */
import type { Vehicle } from "../shared/api-types";

const IN = 25_400;
const LB = 453.592_37;
const um = (inches: number): number => Math.round(inches * IN);
const g = (pounds: number): number => Math.round(pounds * LB);

type Room = Pick<
  Vehicle,
  | "width_um"
  | "length_um"
  | "height_um"
  | "door_height_um"
  | "payload_g"
  | "ramp"
  | "straps"
  | "bars"
>;

interface VehicleClass {
  key: string;
  word: string;
  room: Room;
}

/** Inches and pounds; payload as hired, with ramp. */
function room(
  sides: readonly [width: number, length: number, height: number, door: number],
  payload: number,
  deck: number | null,
  straps: number,
): Room {
  const [width, long, height, door] = sides.map(um);
  return {
    width_um: width ?? 0,
    length_um: long ?? 0,
    height_um: height ?? 0,
    door_height_um: door ?? null,
    payload_g: g(payload),
    ramp:
      deck === null
        ? null
        : { length_um: um(144), deck_height_um: um(deck), rating_g: null, wet: false },
    straps: { count: straps, wll_g: null },
    bars: 0,
  };
}

/** Centimetres and kilograms; a body that is loaded by a lift gate or from a dock, without a ramp. */
function body(
  sides: readonly [width: number, length: number, height: number, door: number],
  payload: number,
  straps: number,
): Room {
  const [width, long, height, door] = sides.map((centimetres) => centimetres * 10_000);
  return {
    width_um: width ?? 0,
    length_um: long ?? 0,
    height_um: height ?? 0,
    door_height_um: door ?? null,
    payload_g: payload * 1000,
    ramp: null,
    straps: { count: straps, wll_g: null },
    bars: 0,
  };
}

export const CLASSES: readonly VehicleClass[] = [
  { key: "van", word: "High-roof van", room: room([70, 130, 72, 70], 3000, null, 4) },
  { key: "box-12", word: "Box, 12 ft", room: room([76, 144, 72, 68], 3000, 30, 6) },
  { key: "box-16", word: "Box, 16 ft", room: room([90, 192, 84, 78], 4100, 32, 8) },
  { key: "box-24", word: "Box, 24 ft", room: room([88, 288, 84, 80], 7400, 34, 12) },
  { key: "box-26", word: "Box, 26 ft", room: room([96, 312, 96, 90], 9000, 34, 14) },
  {
    key: "trailer-12",
    word: "Small trailer, 6 by 12 ft",
    room: room([70, 142, 72, 68], 1800, 18, 6),
  },
  { key: "body-3.5", word: "Box, 3.5 t, 4.2 m", room: body([205, 420, 215, 205], 800, 6) },
  { key: "body-7.5", word: "Box, 7.5 t, 6.1 m", room: body([245, 610, 240, 230], 2500, 12) },
  { key: "body-12", word: "Box, 12 t, 7.2 m", room: body([245, 720, 245, 235], 5000, 14) },
  { key: "semi-13.6", word: "Trailer, 13.6 m", room: body([245, 1360, 265, 255], 24000, 24) },
  { key: "semi-53", word: "Trailer, 53 ft", room: room([98, 630, 108, 106], 43000, null, 30) },
];

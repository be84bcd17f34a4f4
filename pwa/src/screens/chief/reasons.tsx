/** Why a vehicle is held, each reason in words and one tap from its cure. */
import { bundle, devices, state } from "../../app-model";
import type { Held } from "../../core/state";
import { t } from "../../i18n";
import type { IconName } from "../../ui/icon";
import type { ScreenName } from "../shared/navigation";
import { caseName, vehicleName } from "../shared/names";
import { mass, owned } from "../shared/format";

export interface Reason {
  icon: IconName;
  word: string;
  cure: ScreenName;
  arg: string;
}

/** `known`: the case screen is the cure for all four meanings, the row for straps and slack. */
export function reason(one: Held): Reason {
  const gate = one.gate.split(":")[0] ?? one.gate;
  const row = one.row ?? 0;
  switch (gate) {
    case "cases":
      return { icon: caseIcon(one), word: caseWord(one), cure: "case", arg: one.code ?? "" };
    case "straps":
      return {
        icon: "strap",
        word: t("held.straps", { row, have: one.value ?? 0, need: one.limit ?? 0 }),
        cure: "row",
        arg: String(row),
      };
    case "slack":
      return { icon: "rows", word: t("held.slack", { row }), cure: "row", arg: String(row) };
    case "checks":
      return {
        icon: one.what === "not_ok" ? "close" : "open",
        word: checkWord(one),
        cure: "checks",
        arg: one.check ?? "",
      };
    case "payload":
    case "axles":
      return { icon: "weight", word: massWord(gate, one), cure: "rows", arg: "" };
    case "mass":
      return {
        icon: "weight",
        word: t("held.mass", { code: one.code ?? "", name: caseName(one.code ?? "") }),
        cure: "case",
        arg: one.code ?? "",
      };
    case "plate":
      return { icon: "weight", word: t(plateKey(one.what)), cure: "release", arg: "" };
    case "unsent":
      return { icon: "phone", word: unsentWord(one), cure: "phones", arg: one.device ?? "" };
    case "already_released":
      return { icon: "sign", word: t("held.already_released"), cure: "released", arg: "" };
    case "vehicles":
      return {
        icon: "truck",
        word: t("held.vehicles", { name: vehicleName(one.vehicle) }),
        cure: "vehicles",
        arg: "",
      };
    case "walk":
      return { icon: "walk", word: walkWord(one), cure: "walk", arg: "" };
    default:
      return { icon: "lock", word: one.gate, cure: "vehicles", arg: "" };
  }
}

const PLATES = {
  payload: "held.plate.payload",
  straps: "held.plate.straps",
  ramp: "held.plate.ramp",
  lift_gate: "held.plate.lift_gate",
  axles: "held.plate.axles",
} as const;

const plateKey = (what: string | null) =>
  PLATES[(what ?? "payload") as keyof typeof PLATES] ?? PLATES.payload;

const caseIcon = (one: Held): IconName => (one.what === "missing" ? "lost" : "wait");

function caseWord(one: Held): string {
  const status = one.what === "missing" ? t("noton.missing") : t("noton.not_yet");
  return `${status}: ${one.code ?? ""} ${one.code ? caseName(one.code) : ""}`;
}

function checkWord(one: Held): string {
  const check = bundle.value?.checks.find((each) => each.id === one.check);
  const text = check ? owned(check.text) : (one.check ?? "");
  return one.what === "not_ok" ? t("held.check_no", { text }) : text;
}

function walkWord(one: Held): string {
  const stop = bundle.value?.walk.find((each) => each.id === one.check);
  return t("held.walk", { text: stop ? owned(stop.text) : (one.check ?? "") });
}

function massWord(gate: "payload" | "axles", one: Held): string {
  const units = bundle.value?.units;
  if (!units || one.value === null || one.limit === null) return t(`held.${gate}`);
  const share = one.what === "share_min" || one.what === "share_max";
  const said = (value: number) =>
    share ? `${(value * 100).toFixed(1)} %` : mass(value, units, "up");
  const name = one.what ? t(`held.what.${one.what}` as "held.what.front") : t(`held.${gate}`);
  return t("held.over", { name, value: said(one.value), limit: said(one.limit) });
}

function unsentWord(one: Held): string {
  const heard = devices.value.find((each) => each.device === one.device);
  const known = one.device ? state.value?.devices[one.device] : undefined;
  return t("held.unsent", { name: heard?.name ?? known?.by ?? one.device ?? "" });
}

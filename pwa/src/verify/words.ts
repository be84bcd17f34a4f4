/** Words of the page that verifies a record. */
const EN = {
  title: "Verify the record of a night",
  about:
    "Nothing is sent anywhere: this page works without a network, and saved as a file. It says the same as: python3 server verify.",
  file: "Record (record-….json)",
  key: "Fingerprint of the key, as printed on the paper record",
  unchanged: "Unchanged",
  changed: "Changed",
  unknown: "Not verified",
  sealed: "{n} events, sealed by the key {key}.",
  compare: "Compare this fingerprint with the one on the printed record.",
  same: "It is the fingerprint that you typed.",
  at: "Event {n} ({id}): {what}",
  none: "This is no record of a night: {why}.",
  old: "This browser cannot check the seal (Ed25519). The digests fit; use a newer browser or python3 server verify.",
};
const ES: typeof EN = {
  title: "Comprobar el registro de una noche",
  about:
    "No se envía nada: esta página funciona sin red y guardada como archivo. Dice lo mismo que: python3 server verify.",
  file: "Registro (record-….json)",
  key: "Huella de la clave, como está impresa en el registro en papel",
  unchanged: "Sin cambios",
  changed: "Cambiado",
  unknown: "Sin comprobar",
  sealed: "{n} hechos, sellados con la clave {key}.",
  compare: "Compara esta huella con la del registro impreso.",
  same: "Es la huella que has escrito.",
  at: "Hecho {n} ({id}): {what}",
  none: "Esto no es el registro de una noche: {why}.",
  old: "Este navegador no puede comprobar el sello (Ed25519). Los resúmenes encajan; usa un navegador más nuevo o python3 server verify.",
};

/** What check.ts finds, in Spanish; a number in it stays. */
const FOUND: readonly (readonly [RegExp, string])[] = [
  [/^out of order$/, "fuera de orden"],
  [/^added: it has no digest$/, "añadido: no tiene resumen"],
  [/^changed, or something before it was taken out$/, "cambiado, o falta algo anterior"],
  [/^(\d+) events taken off the end$/, "faltan $1 hechos al final"],
  [/^what it signed is not what stands here$/, "lo que firmó no es lo que hay aquí"],
  [/^it has no seal: .*$/, "no tiene sello: cualquiera puede cambiarlo y rehacer los resúmenes"],
  [/^its seal does not hold: .*$/, "el sello no vale: se cambió después de sellarlo"],
  [/^it is sealed by another key: (.*)$/, "está sellado con otra clave: $1"],
];

const spanish = navigator.language.toLowerCase().startsWith("es");
export const lang = spanish ? "es" : "en";

export function say(key: keyof typeof EN, values: Record<string, string | number> = {}): string {
  return (spanish ? ES : EN)[key].replace(/\{(\w+)\}/g, (_, name: string) => `${values[name]}`);
}

export function found(what: string): string {
  const line = spanish ? FOUND.find(([pattern]) => pattern.test(what)) : undefined;
  return line ? what.replace(line[0], line[1]) : what;
}

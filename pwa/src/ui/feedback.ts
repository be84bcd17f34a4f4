/** What an answer sounds and feels like: each can be told apart without looking. */

export type AnswerKind =
  | "right"
  | "not_next"
  | "blocked"
  | "already"
  | "other_vehicle"
  | "stray"
  | "unknown"
  | "damaged"
  | "swapped";

/** One note: hertz, start and length in milliseconds, wave. */
type Note = readonly [hertz: number, start: number, length: number, wave: OscillatorType];

const SOUNDS: Record<AnswerKind, readonly Note[]> = {
  right: [
    [660, 0, 90, "sine"],
    [990, 90, 160, "sine"],
  ],
  not_next: [
    [660, 0, 120, "sine"],
    [660, 180, 120, "sine"],
  ],
  blocked: [
    [440, 0, 140, "triangle"],
    [440, 170, 140, "triangle"],
    [294, 340, 260, "triangle"],
  ],
  already: [[330, 0, 320, "triangle"]],
  other_vehicle: [
    [220, 0, 160, "square"],
    [311, 160, 160, "square"],
    [220, 320, 160, "square"],
    [311, 480, 160, "square"],
    [220, 640, 260, "square"],
  ],
  stray: [
    [784, 0, 120, "triangle"],
    [587, 140, 120, "triangle"],
    [440, 280, 200, "triangle"],
  ],
  unknown: [
    [140, 0, 70, "sawtooth"],
    [140, 110, 70, "sawtooth"],
    [140, 220, 70, "sawtooth"],
  ],
  damaged: [
    [370, 0, 220, "sawtooth"],
    [262, 240, 320, "sawtooth"],
  ],
  swapped: [
    [523, 0, 110, "triangle"],
    [784, 120, 110, "triangle"],
    [523, 240, 160, "triangle"],
  ],
};

/** Vibration patterns: buzz and pause in milliseconds. */
const BUZZES: Record<AnswerKind, readonly number[]> = {
  right: [60],
  not_next: [60, 90, 60],
  blocked: [90, 60, 90, 60, 260],
  already: [220],
  other_vehicle: [400, 90, 400, 90, 400],
  stray: [120, 80, 120, 80, 120],
  unknown: [30, 40, 30, 40, 30, 40, 30],
  damaged: [260, 80, 60, 80, 260],
  swapped: [60, 60, 220],
};

let context: AudioContext | null = null;

/** Browsers let sound start only inside a tap: call this from the first one. */
export function wakeSound(): void {
  if (typeof AudioContext === "undefined") return;
  context ??= new AudioContext();
  if (context.state === "suspended") void context.resume();
}

export function play(kind: AnswerKind): void {
  if (!context || context.state !== "running") return;
  for (const [hertz, start, length, wave] of SOUNDS[kind])
    note(context, hertz, start, length, wave);
}

function note(
  audio: AudioContext,
  hertz: number,
  start: number,
  length: number,
  wave: OscillatorType,
) {
  const at = audio.currentTime + start / 1000;
  const tone = audio.createOscillator();
  const volume = audio.createGain();
  tone.type = wave;
  tone.frequency.value = hertz;
  volume.gain.setValueAtTime(0.0001, at);
  volume.gain.exponentialRampToValueAtTime(0.5, at + 0.01);
  volume.gain.exponentialRampToValueAtTime(0.0001, at + length / 1000);
  tone.connect(volume).connect(audio.destination);
  tone.start(at);
  tone.stop(at + length / 1000 + 0.02);
}

/** Phones without a motor answer false or nothing: that is no fault. */
export function buzz(kind: AnswerKind): void {
  if (typeof navigator.vibrate === "function") navigator.vibrate([...BUZZES[kind]]);
}

/** Says a call into the earbud; a voice that lives on the phone comes first, for there is no signal. */
export function say(text: string, language: string): void {
  if (typeof speechSynthesis === "undefined" || text === "") return;
  speechSynthesis.cancel();
  const call = new SpeechSynthesisUtterance(text);
  call.lang = language;
  const voices = speechSynthesis.getVoices().filter((voice) => voice.lang.startsWith(language));
  const voice = voices.find((one) => one.localService) ?? voices[0];
  if (voice) call.voice = voice;
  call.rate = 1.05;
  speechSynthesis.speak(call);
}

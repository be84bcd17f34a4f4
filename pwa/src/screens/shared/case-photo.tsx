/** What a case looks like, where the shop keeps a photo of it; without one nothing is in its place. */
import type { ComponentChild } from "preact";
import { useState } from "preact/hooks";
import { bundle, casePhoto } from "../../app-model";

/** `instead`: what stands there without a photo; `alt` empty where the name stands beside it. */
export function CasePhoto(props: {
  code: string;
  alt?: string;
  large?: boolean;
  instead?: ComponentChild;
}) {
  const { code, alt = "", large = false, instead = null } = props;
  const [lost, setLost] = useState<string | null>(null);
  const path = bundle.value && casePhoto(bundle.value, code);
  if (!path || lost === path) return <>{instead}</>;
  const look = large ? "likeness likeness-large" : "likeness";
  return <img class={look} src={path} alt={alt} loading="lazy" onError={() => setLost(path)} />;
}

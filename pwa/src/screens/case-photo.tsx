/** What a case looks like, where the shop keeps a photo of it; without one nothing is in its place. */
import type { ComponentChild } from "preact";
import { useState } from "preact/hooks";
import { bundle, casePhoto } from "../app-model";

/** `instead`: what stands there without a photo; `alt` empty where the name stands beside it. */
export function CasePhoto(props: {
  code: string;
  alt?: string;
  look?: "thumb" | "photo";
  instead?: ComponentChild;
}) {
  const { code, alt = "", look = "thumb", instead = null } = props;
  const [lost, setLost] = useState<string | null>(null);
  const path = bundle.value && casePhoto(bundle.value, code);
  if (!path || lost === path) return <>{instead}</>;
  return <img class={look} src={path} alt={alt} loading="lazy" onError={() => setLost(path)} />;
}

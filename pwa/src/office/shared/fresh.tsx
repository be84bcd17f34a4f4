/** A form on a document as it is now: lists in the browser may be older than the server's. */
import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import { open, type Opened } from "./changes";
import { tried } from "./state";

interface FreshProps<T> {
  path: string;
  children: (seen: Opened<T>) => ComponentChildren;
}

export function Fresh<T>({ path, children }: FreshProps<T>) {
  const [seen, setSeen] = useState<Opened<T> | null>(null);
  useEffect(() => void tried(() => open<T>(path)).then(setSeen), [path]);
  return seen === null ? <p class="soft">One moment.</p> : <>{children(seen)}</>;
}

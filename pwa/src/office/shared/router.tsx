/** Where the office stands: the path below /office, kept in the address so that it can be marked. */
import { signal } from "@preact/signals";
import type { ComponentChildren } from "preact";
import { done, trouble } from "./state";

const ROOT = "/office";
const read = (): string => location.pathname.slice(ROOT.length).replace(/^\/+|\/+$/g, "");
export const path = signal(read());

/** Set while something typed is not kept yet; then leaving asks first. */
export const unsaved = signal(false);

addEventListener("popstate", () => {
  path.value = read();
});
addEventListener("beforeunload", (event) => {
  if (unsaved.value) event.preventDefault();
});

export function go(to: string): void {
  if (unsaved.value && !confirm("What you typed here is not kept yet. Leave it?")) return;
  unsaved.value = false;
  trouble.value = null;
  done.value = "";
  history.pushState(null, "", to === "" ? ROOT : `${ROOT}/${to}`);
  path.value = to;
  scrollTo(0, 0);
}

interface LinkProps {
  to: string;
  class?: string;
  current?: boolean;
  children: ComponentChildren;
}

/** A link inside the office. */
export function To({ to, current = false, children, ...more }: LinkProps) {
  return (
    <a
      {...more}
      href={to === "" ? ROOT : `${ROOT}/${to}`}
      aria-current={current ? "page" : undefined}
      onClick={(event: MouseEvent) => {
        if (event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return;
        event.preventDefault();
        go(to);
      }}
    >
      {children}
    </a>
  );
}

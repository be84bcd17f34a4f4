/** The document that the open page is about, and the way to its history. */
import { path, To } from "./router";

interface Here {
  kind: "shop" | "case" | "vehicle" | "show";
  id: string;
}
/** Which document a page is about, or null. */
export function hereOf(at: string): Here | null {
  const [room = "", one = ""] = at.split("/").map(decodeURIComponent);
  if (room === "shop") return { kind: "shop", id: "1" };
  if (one === "" || one === "new" || one === "import") return null;
  if (room === "fleet") return { kind: "case", id: one };
  if (room === "vehicles") return { kind: "vehicle", id: one };
  return room === "shows" ? { kind: "show", id: one } : null;
}

/** A link to every change of the document that is open; nothing on other pages. */
export function HistoryLink() {
  const here = hereOf(path.value);
  if (!here) return null;
  return (
    <To to={`history/${here.kind}/${encodeURIComponent(here.id)}`} class="btn btn-small">
      History
    </To>
  );
}

/** A sentence of the server in the crew's language; where there is none, English and marked so. */
import { said } from "../../i18n/said";

export function Said({ text }: { text: string }) {
  const own = said(text);
  return own === null ? <span lang="en">{text}</span> : <>{own}</>;
}

/** In place of a blank screen: what is lacking, and the way on. */
import type { ComponentChildren } from "preact";
import { useErrorBoundary } from "preact/hooks";
import { t } from "../../i18n";
import { Button } from "../../ui/parts";
import { Frame } from "./frame";

/** The part of a screen is on its way, or a phone without signal never received it. */
export function NotHere({ failed, again }: { failed: boolean; again: () => void }) {
  return (
    <Frame title={t("app.part")} top tabs>
      {failed ? (
        <section class="card card-hold stack" role="alert" id="no-part">
          <p>{t("app.no_part")}</p>
          <Button icon="sent" onPress={again}>
            {t("link.try")}
          </Button>
        </section>
      ) : (
        <p class="soft">{t("app.loading")}</p>
      )}
    </Frame>
  );
}

/** A fault in one screen leaves all others: it is said, and the bar below still works. */
export function Guarded({ children }: { children: ComponentChildren }) {
  const [error] = useErrorBoundary((cause) => console.error(cause));
  if (error === undefined) return <>{children}</>;
  return (
    <Frame title={t("app.part")} top tabs>
      <section class="card card-hold stack" role="alert" id="screen-failed">
        <p>{t("app.failed")}</p>
        <p class="soft">{String(error)}</p>
      </section>
    </Frame>
  );
}

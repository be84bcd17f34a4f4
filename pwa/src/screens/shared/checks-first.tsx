/** The way to the checks that come before the first case; nothing once they are answered. */
import { leg } from "../../app-model";
import { t } from "../../i18n";
import { Button } from "../../ui/parts";
import { go } from "./navigation";

export const checksFirst = (): readonly string[] => leg.value?.before_open ?? [];

export function ChecksFirst() {
  const [first, ...others] = checksFirst();
  if (first === undefined) return null;
  return (
    <Button tone="ask" icon="check" onPress={() => go("checks", first)} id="checks-first">
      {t("check.first", { n: 1 + others.length })}
    </Button>
  );
}

/** Sign-off: every vehicle released, every case accounted for, the walk done; then it is closed. */
import { bundle, report, state } from "../../app-model";
import { signoffReasons } from "../../core/signoff";
import type { Held } from "../../core/state";
import { t } from "../../i18n";
import { Icon } from "../../ui/icon";
import { Frame } from "../shared/frame";
import { go } from "../shared/navigation";
import { isChief } from "../shared/who";
import { clock } from "../shared/format";
import { Closing } from "./closing";
import { sealNow } from "./digest";
import { Contradictions } from "./facts";
import { reason } from "./reasons";
import { Signing, type Signed } from "./signing";

export function SignOff() {
  const now = state.value;
  if (!now) return <Frame title={t("sign.title")} children={null} />;
  const held = signoffReasons(now);
  const signed = now.signed_off;
  const against = now.contradictions.length;
  return (
    <Frame title={t("sign.title")}>
      <h2>{bundle.value?.show.name}</h2>
      <Contradictions />
      {signed && (
        <section class={against > 0 ? "card card-ask stack" : "card card-go stack"}>
          <h2>{t("sign.given", { name: signed.by, when: clock(signed.at) })}</h2>
          {against > 0 && <p>{t("sign.with", { n: against })}</p>}
          <p class="soft digest">{signed.digest}</p>
        </section>
      )}
      {!signed && held.length > 0 && (
        <section class="card card-hold stack" role="status">
          <h2 class="line">
            <Icon name="lock" size={48} />
            <span class="grow">{t("sign.held", { n: held.length })}</span>
          </h2>
          <ul class="list">
            {grouped(held).map((one) => {
              const { icon, word, cure, arg } = reason(one);
              return (
                <li key={`${one.gate} ${one.code} ${one.vehicle} ${one.check}`}>
                  <button type="button" class="item" onClick={() => go(cure, arg)}>
                    <Icon name={icon} size={32} />
                    <span class="grow">{word}</span>
                    <Icon name="next" />
                  </button>
                </li>
              );
            })}
          </ul>
        </section>
      )}
      {!signed && held.length === 0 && <Sign />}
      {signed && <Closing />}
    </Frame>
  );
}

/** Many cases not on make one line for each vehicle. */
function grouped(held: readonly Held[]): Held[] {
  const vehicles = new Set<string | null>();
  return held.filter((one) => {
    const many = held.filter((each) => each.gate === "cases" && each.vehicle === one.vehicle);
    if (one.gate !== "cases" || many.length <= 4) return true;
    return !vehicles.has(one.vehicle) && vehicles.add(one.vehicle);
  });
}

function Sign() {
  const against = state.value?.contradictions.length ?? 0;
  if (!isChief.value) return <p class="card card-go">{t("release.ask_chief")}</p>;
  const sign = async (signed: Signed) => {
    const seal = sealNow();
    await report({ kind: "signed_off", ...signed, ...seal }, { move: "load_out" });
  };
  return (
    <section class={against > 0 ? "card card-ask stack" : "card card-go stack"}>
      <h2 class="line">
        <Icon name={against > 0 ? "note" : "check"} size={48} />
        <span class="grow">{against > 0 ? t("sign.with", { n: against }) : t("sign.ready")}</span>
      </h2>
      <Signing word={t("sign.go")} onSign={sign} />
    </section>
  );
}

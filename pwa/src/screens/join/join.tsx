/** Joining: a code, a name, and for the chief a PIN. */
import { useState } from "preact/hooks";
import { join, link, session, trouble, type JoinAnswer } from "../../app-model";
import { t } from "../../i18n";
import { said } from "../../i18n/said";
import { wakeSound } from "../../ui/feedback";
import { Icon } from "../../ui/icon";
import { Button, Field } from "../../ui/parts";
import { back, go } from "../shared/navigation";
import { LanguageChoice, PaletteChoice } from "../shared/preference-choices";
import { TroubleBar } from "../phone/trouble";

/** The code of a join link stands behind the hash, which never leaves the phone for a log. */
function codeOfLink(): string {
  try {
    return decodeURIComponent(location.hash.slice(1)).replace(/[^0-9A-Za-z-]/g, "");
  } catch {
    return ""; // a link cut short or typed wrongly: the code can still be typed
  }
}

/** A link that brings no code, or one of another length than ours. */
const brokenLink = (): boolean =>
  location.hash.length > 1 && !/^[0-9A-Za-z-]{6,16}$/.test(codeOfLink());

function refusal(answer: JoinAnswer): string {
  if (answer.ok) return "";
  if (answer.why === "not_reached") return t("join.no_net");
  if (answer.why === "unsent") return t("join.unsent");
  if (answer.why === "slow_down") return t("join.slow_down");
  return t("join.refused", { why: said(answer.detail) ?? answer.detail });
}

export function Join() {
  const was = session.value;
  const [code, setCode] = useState(() => was?.code ?? codeOfLink());
  const [name, setName] = useState(was?.name ?? "");
  const [chief, setChief] = useState(was?.role === "chief");
  const [pin, setPin] = useState("");
  const [busy, setBusy] = useState(false);
  const [no, setNo] = useState("");

  const tryIt = async () => {
    wakeSound();
    if (code.trim() === "") return setNo(t("join.no_code"));
    if (name.trim() === "") return setNo(t("join.no_name"));
    setBusy(true);
    setNo("");
    const answer = await join(code, name, chief ? pin.trim() : undefined);
    setBusy(false);
    if (answer.ok) go("choose", "", true);
    else setNo(refusal(answer));
  };

  return (
    <div class="frame">
      <main class="work">
        <Sign />
        <TroubleBar trouble={trouble.value} />
        <h1>{t("join.title")}</h1>
        {!was && <BrokenLink />}
        <form
          class="stack"
          onSubmit={(event) => {
            event.preventDefault();
            void tryIt();
          }}
        >
          <Field
            id="join-code"
            label={t("join.code")}
            value={code}
            onInput={setCode}
            hint={t("join.code_hint")}
            code
          />
          <Field
            id="join-name"
            label={t("join.name")}
            value={name}
            onInput={setName}
            autocomplete="name"
          />
          <Button icon="sign" pressed={chief} onPress={() => setChief(!chief)}>
            {t("join.chief")}
          </Button>
          {chief && (
            <Field
              id="join-pin"
              label={t("join.pin")}
              value={pin}
              onInput={setPin}
              secret
              mode="numeric"
              autocomplete="current-password"
            />
          )}
          {no && (
            <p class="trouble" role="alert">
              {no}
            </p>
          )}
          <button type="submit" class="btn btn-main" id="join" aria-disabled={busy || undefined}>
            <Icon name="next" size={32} />
            <span>{t(busy ? "join.busy" : "join.go")}</span>
          </button>
        </form>
        {was && (
          <Button icon="back" onPress={back}>
            {t("back")}
          </Button>
        )}
        {link.value.state === "never" && <p class="soft">{t("join.install")}</p>}
        <LanguageChoice />
        <PaletteChoice />
      </main>
    </div>
  );
}

function BrokenLink() {
  if (!brokenLink()) return null;
  return (
    <p class="trouble" role="alert" id="bad-link">
      {t("join.bad_link")}
    </p>
  );
}

/** Our own sign: a row of cases against the bulkhead, and one on its way in. */
function Sign() {
  return (
    <div class="line sign">
      <svg width="64" height="52" viewBox="0 0 64 52" aria-hidden="true">
        <path d="M3 3h58M3 3v46h58" fill="none" stroke="currentColor" stroke-width="5" />
        <path d="M11 10h12v14H11ZM11 28h12v14H11ZM27 10h12v14H27Z" fill="currentColor" />
        <path d="M62 35H32m9-9-9 9 9 9" fill="none" stroke="var(--go)" stroke-width="6" />
      </svg>
      <span class="sign-word">Rowcall</span>
    </div>
  );
}

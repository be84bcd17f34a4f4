/** Coming in: the owner's password by the set-up link, once; afterwards by name. */
import { useEffect, useState } from "preact/hooks";
import { Button, Field } from "../../ui/parts";
import { call } from "../shared/api";
import { able, enterByPasskey } from "../shared/passkey";
import { look, tried, trouble } from "../shared/state";
import { Trouble } from "../shared/controls";

const LEAST = 12;
const invitation = (): string => /^#setup=(.+)$/.exec(location.hash)?.[1] ?? "";

/** The secret of a set-up link, also of one opened in a tab that shows this page already. */
function useInvitation() {
  const state = useState(invitation());
  const [, setToken] = state;
  useEffect(() => {
    const take = () => setToken(invitation());
    addEventListener("hashchange", take);
    return () => removeEventListener("hashchange", take);
  }, []);
  return state;
}

export function Enter() {
  const [token, setToken] = useInvitation();
  const [name, setName] = useState("");
  const [password, setPassword] = useState("");
  const [busy, setBusy] = useState(false);
  const first = token !== "";
  const short = first && password.length > 0 && password.length < LEAST;
  const enter = async () => {
    if (name.trim() === "" || password === "" || short) return;
    setBusy(true);
    const body = first ? { token, name, password } : { name, password };
    const address = first ? "/owner/setup" : "/owner/login";
    const session = await tried(() => call("POST", address, body));
    setBusy(false);
    if (session === null) return;
    history.replaceState(null, "", location.pathname);
    await look();
  };
  return (
    <main class="gate">
      <form
        class="card stack"
        onSubmit={(event) => {
          event.preventDefault();
          void enter();
        }}
      >
        <h1>{first ? "Set the owner's password" : "The owner's office"}</h1>
        <p class="soft">
          {first
            ? "This link works once. The name and password open the office from now on."
            : "Fleet, vehicles, shows and plans."}
        </p>
        <Trouble />
        <Field
          id="owner-name"
          label="Your name"
          value={name}
          onInput={setName}
          autocomplete="username"
        />
        <Field
          id="owner-password"
          label="Password"
          value={password}
          onInput={setPassword}
          secret
          autocomplete={first ? "new-password" : "current-password"}
          {...(first ? { hint: `At least ${LEAST} characters. A few plain words do well.` } : {})}
        />
        {short && <p class="trouble">{LEAST - password.length} more characters are needed.</p>}
        <Submit busy={busy}>{first ? "Set it and sign in" : "Sign in"}</Submit>
        <OtherWays first={first} onPassword={() => setToken("")} />
      </form>
    </main>
  );
}

/** A passkey in place of the password; or the password, where the link no longer works. */
function OtherWays({ first, onPassword }: { first: boolean; onPassword: () => void }) {
  const byPasskey = async () => {
    const worked = await tried(async () => {
      await enterByPasskey();
      return true;
    });
    if (worked) await look();
  };
  const leave = () => {
    trouble.value = null;
    onPassword();
  };
  if (!first)
    return able() ? (
      <Button icon="lock" id="enter-passkey" onPress={() => void byPasskey()}>
        Sign in with a passkey
      </Button>
    ) : null;
  if (trouble.value === null) return null;
  return <Button onPress={leave}>I have a password already</Button>;
}

function Submit({ busy, children }: { busy: boolean; children: string }) {
  return (
    <button type="submit" class="btn btn-main" id="enter" aria-disabled={busy || undefined}>
      {busy ? "One moment" : children}
    </button>
  );
}

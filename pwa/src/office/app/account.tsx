/** The owner's own account: password, passkeys, who is in by it, and the other owners. */
import { useEffect, useState } from "preact/hooks";
import { Button, Field } from "../../ui/parts";
import { AuditPart } from "./audit-log";
import { BackupPart } from "./backups";
import { HooksPart } from "./hooks";
import { TokensPart } from "./tokens";
import { Text } from "../shared/text-field";
import { call } from "../shared/api";
import { Head, Small } from "../shared/controls";
import { able, addPasskey } from "../shared/passkey";
import { done, tried } from "../shared/state";
import { moment } from "../shared/units";

interface Account {
  name: string;
  sessions: { id: string; show: string | null; used_at: number; here: boolean }[];
  passkeys: { id: string; name: string; created_at: number; used_at: number | null }[];
  passkeys_here: string;
  passkeys_demanded: boolean;
  owners: { id: string; name: string; own: boolean }[];
}

/** Do something that asks for the password again; true when it was done. */
type Act = (work: () => Promise<unknown>, said: string) => Promise<boolean>;
interface PartProps {
  account: Account;
  password: string;
  act: Act;
}

export function AccountRoom() {
  const [account, setAccount] = useState<Account | null>(null);
  const [password, setPassword] = useState("");
  const load = async () => setAccount(await tried(() => call<Account>("GET", "/owner/account")));
  useEffect(() => void load(), []);
  if (account === null) return <p class="soft">One moment.</p>;
  const act: Act = async (work, said) => {
    done.value = "";
    const worked = await tried(async () => {
      await work();
      return true;
    });
    if (!worked) return false;
    await load();
    done.value = said;
    return true;
  };
  const props = { account, password, act };
  return (
    <>
      <Head title="Account" sub={account.name} />
      <section class="card stack">
        <Field
          id="account-password"
          label="Your password"
          value={password}
          onInput={setPassword}
          secret
          autocomplete="current-password"
          hint="Every change on this page asks for it again."
        />
      </section>
      <div class="halves">
        <Passkeys {...props} />
        <NewPassword {...props} onNew={() => setPassword("")} />
        <WhoIsIn {...props} />
        <Owners {...props} />
        <TokensPart password={password} act={act} />
        <HooksPart password={password} act={act} />
        <BackupPart />
      </div>
      <AuditPart seen={account} />
    </>
  );
}

function Passkeys({ account, password, act }: PartProps) {
  const [name, setName] = useState("");
  const reason = account.passkeys_here || (able() ? "" : "This browser knows no passkeys.");
  const add = async () => {
    if (await act(() => addPasskey(name, password), "The passkey opens the office now."))
      setName("");
  };
  const remove = (id: string) =>
    void act(
      () => call("POST", "/owner/passkeys/remove", { password, passkey: id }),
      "The passkey opens nothing any more.",
    );
  const demanded = account.passkeys_demanded;
  const demand = () =>
    void act(
      () => call("POST", "/owner/passkeys/demand", { password, demand: !demanded }),
      demanded ? "The password opens the office again." : "Passkeys alone open the office now.",
    );
  return (
    <section class="card stack" aria-label="Passkeys">
      <h2>Passkeys</h2>
      <p class="soft">
        {demanded
          ? "Passkeys alone open the office, for every owner. Whoever loses theirs gets a set-up link on the server itself: python3 server serve --owner-link."
          : "Finger, face or PIN of your device in place of the password, which stays good."}
      </p>
      <PasskeyList account={account} onRemove={remove} />
      {reason === "" ? (
        <>
          <Text
            id="passkey-name"
            label="Name of a new passkey"
            most={60}
            value={name}
            onChange={setName}
            hint="Such as: my laptop"
          />
          <Button icon="lock" id="add-passkey" onPress={() => void add()}>
            Add a passkey
          </Button>
        </>
      ) : (
        <p class="note">{reason}</p>
      )}
      {(demanded || account.passkeys.length > 0) && (
        <Button id="demand-passkeys" onPress={demand}>
          {demanded ? "Let the password open again" : "Let passkeys alone open"}
        </Button>
      )}
    </section>
  );
}

interface ListProps {
  account: PartProps["account"];
  onRemove: (id: string) => void;
}

function PasskeyList({ account, onRemove }: ListProps) {
  return (
    <ul class="stack" id="passkeys">
      {account.passkeys.map((one) => (
        <li key={one.id} class="line">
          <span class="grow">
            {one.name}
            <br />
            <span class="soft">
              {one.used_at === null ? "never used" : `last used ${moment(one.used_at)}`}
            </span>
          </span>
          <Small label={`Remove the passkey ${one.name}`} onPress={() => onRemove(one.id)}>
            Remove
          </Small>
        </li>
      ))}
    </ul>
  );
}

function NewPassword({ password, act, onNew }: PartProps & { onNew: () => void }) {
  const [fresh, setFresh] = useState("");
  const change = async () => {
    const work = () => call("POST", "/owner/password", { password, fresh });
    if (!(await act(work, "The password is changed; everyone else is signed out."))) return;
    setFresh("");
    onNew();
  };
  return (
    <section class="card stack" aria-label="New password">
      <h2>New password</h2>
      <Field
        id="fresh-password"
        label="New password"
        value={fresh}
        onInput={setFresh}
        secret
        autocomplete="new-password"
        hint="At least 12 characters. A few plain words do well."
      />
      <Button id="change-password" onPress={() => void change()}>
        Change the password
      </Button>
    </section>
  );
}

function WhoIsIn({ account, password, act }: PartProps) {
  const end = (session?: string) =>
    void act(
      () => call("POST", "/owner/sessions/end", session ? { password, session } : { password }),
      "Signed out.",
    );
  return (
    <section class="card stack" aria-label="Signed in">
      <h2>Signed in by this account</h2>
      <ul class="stack" id="sessions">
        {account.sessions.map((one) => (
          <li key={one.id} class="line">
            <span class="grow">
              {one.here ? "This browser" : one.show === null ? "An office" : "A phone on a show"}
              <br />
              <span class="soft">last used {moment(one.used_at)}</span>
            </span>
            {!one.here && <Small onPress={() => end(one.id)}>Sign out</Small>}
          </li>
        ))}
      </ul>
      {account.sessions.length > 1 && (
        <Button icon="out" id="end-others" onPress={() => end()}>
          Sign out all others
        </Button>
      )}
    </section>
  );
}

function Owners({ account, password, act }: PartProps) {
  const remove = (owner: string, name: string) => {
    if (!confirm(`Remove the account of ${name}? Whoever is in by it is signed out.`)) return;
    void act(() => call("POST", "/owner/remove", { password, owner }), "The account is removed.");
  };
  return (
    <section class="card stack" aria-label="Owners">
      <h2>Owners</h2>
      <ul class="stack" id="owners">
        {account.owners.map((one) => (
          <li key={one.id} class="line">
            <span class="grow">{one.own ? `${one.name} (you)` : one.name}</span>
            {!one.own && (
              <Small
                label={`Remove the account of ${one.name}`}
                onPress={() => remove(one.id, one.name)}
              >
                Remove
              </Small>
            )}
          </li>
        ))}
      </ul>
      <p class="soft">
        One more owner, or a forgotten password: start the server with --owner-link.
      </p>
    </section>
  );
}

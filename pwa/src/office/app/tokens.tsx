/** Tokens of other programs, and secret addresses to which a calendar subscribes. */
import { useEffect, useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import { call } from "../shared/api";
import { Pick, Small } from "../shared/controls";
import { shows, tried } from "../shared/state";
import { Text } from "../shared/text-field";
import { moment } from "../shared/units";

interface Token {
  id: string;
  name: string;
  scope: string;
  show: string | null;
  made_by: string;
  ends_at: number;
  used_at: number | null;
}
interface Made extends Token {
  secret: string;
  url: string | null;
}
const SCOPES = [
  ["read", "Look at everything"],
  ["change", "Look and change"],
  ["calendar", "A calendar of the shows"],
  ["metrics", "Counters of the server"],
] as const;
const DAYS = [
  ["30", "30 days"],
  ["90", "90 days"],
  ["365", "a year"],
] as const;

interface TokensProps {
  password: string;
  act: (work: () => Promise<unknown>, said: string) => Promise<boolean>;
}

export function TokensPart({ password, act }: TokensProps) {
  const [tokens, setTokens] = useState<Token[]>([]);
  const [made, setMade] = useState<Made | null>(null);
  const load = async () => {
    const got = await tried(() => call<Token[]>("GET", "/tokens"));
    if (got) setTokens(got);
  };
  useEffect(() => void load(), []);
  const revoke = async (one: Token) => {
    const work = () => call("POST", `/tokens/${one.id}/revoke`, { password });
    if (await act(work, `${one.name} opens nothing any more.`)) await load();
  };
  return (
    <section class="card stack" aria-label="Other programs">
      <h2>Other programs</h2>
      <p class="soft">
        A token lets another program in without your password. It reaches no account, no join code
        and no PIN. What it may ask is described at <a href="/api/docs">/api/docs</a>.
      </p>
      <ul class="stack" id="tokens">
        {tokens.map((one) => (
          <li key={one.id} class="line">
            <span class="grow">
              {one.name}: {SCOPES.find(([key]) => key === one.scope)?.[1] ?? one.scope}
              {one.show !== null && `, ${nameOf(one.show)}`}
              <br />
              <span class="soft">
                by {one.made_by}, until {moment(one.ends_at)},{" "}
                {one.used_at === null ? "never used" : `last used ${moment(one.used_at)}`}
              </span>
            </span>
            <Small label={`Revoke ${one.name}`} onPress={() => void revoke(one)}>
              Revoke
            </Small>
          </li>
        ))}
      </ul>
      {made && <Secret made={made} />}
      <NewToken
        onMake={async (wanted) => {
          let got: Made | null = null;
          const work = async () => {
            got = await call<Made>("POST", "/tokens", { ...wanted, password });
          };
          if (!(await act(work, "Copy it now: it is shown this once."))) return false;
          setMade(got);
          await load();
          return true;
        }}
      />
    </section>
  );
}

const nameOf = (show: string) => shows.value?.find((each) => each.id === show)?.name ?? show;

/** The secret of a new token: shown once, nowhere kept. */
function Secret({ made }: { made: Made }) {
  return (
    <p class="note" id="token-secret">
      {made.url === null ? "Send it as Authorization: Bearer " : "Subscribe your calendar to "}
      <code class="secret">{made.url ?? made.secret}</code>
    </p>
  );
}

interface Wanted {
  name: string;
  scope: string;
  days: number;
  show: string | null;
}

function NewToken({ onMake }: { onMake: (wanted: Wanted) => Promise<boolean> }) {
  const [name, setName] = useState("");
  const [scope, setScope] = useState("read");
  const [days, setDays] = useState("90");
  const [show, setShow] = useState("");
  const make = async () => {
    const one = scope === "calendar" && show !== "" ? show : null;
    if (await onMake({ name, scope, days: Number(days), show: one })) setName("");
  };
  return (
    <div class="form">
      <Text
        id="token-name"
        label="Name of a new token"
        most={60}
        value={name}
        onChange={setName}
        hint="Such as: the accounts program"
      />
      <Pick id="token-scope" label="It may" value={scope} options={SCOPES} onChange={setScope} />
      {scope === "calendar" && (
        <Pick
          id="token-show"
          label="Which shows"
          value={show}
          options={[["", "All shows"], ...(shows.value ?? []).map(named)]}
          onChange={setShow}
        />
      )}
      <Pick id="token-days" label="Good for" value={days} options={DAYS} onChange={setDays} />
      <Button id="make-token" icon="lock" onPress={() => void make()}>
        Make a token
      </Button>
    </div>
  );
}

const named = (each: { id: string; name: string }) => [each.id, each.name] as const;

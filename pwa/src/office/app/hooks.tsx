/** Web hooks: addresses of other programs that are told what happens. */
import { useEffect, useState } from "preact/hooks";
import { Button } from "../../ui/parts";
import { call } from "../shared/api";
import { Small, Tick } from "../shared/controls";
import { tried } from "../shared/state";
import { Text } from "../shared/text-field";
import { moment } from "../shared/units";

interface Hook {
  id: string;
  url: string;
  kinds: string[];
  private: boolean;
  made_by: string;
  tries: number;
  next_at: number;
  sent_at: number | null;
  trouble: string;
}
const KINDS = [
  ["facts", "What the crew scans and answers"],
  ["issued", "A plan is issued"],
  ["closed", "A show is closed"],
] as const;

interface HooksProps {
  password: string;
  act: (work: () => Promise<unknown>, said: string) => Promise<boolean>;
}

export function HooksPart({ password, act }: HooksProps) {
  const [hooks, setHooks] = useState<Hook[]>([]);
  const [secret, setSecret] = useState("");
  const load = async () => {
    const got = await tried(() => call<Hook[]>("GET", "/hooks"));
    if (got) setHooks(got);
  };
  useEffect(() => void load(), []);
  const remove = async (one: Hook) => {
    const work = () => call("POST", `/hooks/${one.id}/remove`, { password });
    if (await act(work, "Nothing more is sent there.")) await load();
  };
  const test = async (one: Hook) => {
    const work = () => call("POST", `/hooks/${one.id}/test`);
    if (await act(work, "A test message is on its way.")) await load();
  };
  return (
    <section class="card stack" aria-label="Web hooks">
      <h2>Web hooks</h2>
      <p class="soft">
        A hook sends a signed message to another program when something happens: headers webhook-id,
        webhook-timestamp, webhook-signature (HMAC-SHA256). It is tried again until it is taken.
      </p>
      <ul class="stack" id="hooks">
        {hooks.map((one) => (
          <li key={one.id} class="line line-wrap">
            <span class="grow break">
              {one.url}
              <br />
              <span class="soft">{stateOf(one)}</span>
            </span>
            <Small label={`Test ${one.url}`} onPress={() => void test(one)}>
              Test
            </Small>
            <Small label={`Remove ${one.url}`} onPress={() => void remove(one)}>
              Remove
            </Small>
          </li>
        ))}
      </ul>
      {secret !== "" && (
        <p class="note" id="hook-secret">
          Check signatures with <code class="secret">{secret}</code>
        </p>
      )}
      <NewHook
        onMake={async (wanted) => {
          let got: { secret: string } | null = null;
          const work = async () => {
            got = await call<{ secret: string }>("POST", "/hooks", { ...wanted, password });
          };
          if (!(await act(work, "Copy the secret now: it is shown this once."))) return false;
          setSecret(got === null ? "" : (got as { secret: string }).secret);
          await load();
          return true;
        }}
      />
    </section>
  );
}

function stateOf(one: Hook): string {
  if (one.trouble !== "")
    return `${one.trouble}; tried ${one.tries} times, again ${moment(one.next_at)}`;
  return one.sent_at === null ? "nothing sent yet" : `last taken ${moment(one.sent_at)}`;
}

interface Wanted {
  url: string;
  kinds: readonly string[];
  private: boolean;
}

function NewHook({ onMake }: { onMake: (wanted: Wanted) => Promise<boolean> }) {
  const [url, setUrl] = useState("");
  const [kinds, setKinds] = useState<readonly string[]>(KINDS.map(([key]) => key));
  const [inside, setInside] = useState(false);
  const make = async () => {
    if (await onMake({ url, kinds, private: inside })) setUrl("");
  };
  return (
    <div class="stack">
      <Text
        id="hook-url"
        label="Address of a new hook"
        most={500}
        value={url}
        onChange={setUrl}
        hint="https://…, where the other program listens"
      />
      {KINDS.map(([key, word]) => (
        <Tick
          key={key}
          checked={kinds.includes(key)}
          onChange={(on) => setKinds(on ? [...kinds, key] : kinds.filter((one) => one !== key))}
        >
          {word}
        </Tick>
      ))}
      <Tick checked={inside} onChange={setInside}>
        The receiver stands in our own network (refused otherwise)
      </Tick>
      <div>
        <Button id="make-hook" icon="lock" onPress={() => void make()}>
          Add the hook
        </Button>
      </div>
    </div>
  );
}

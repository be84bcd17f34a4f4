/** Where a case was last seen, by whom, and how it was read. */
import { useEffect, useState } from "preact/hooks";
import { call } from "../shared/api";
import { tried } from "../shared/state";
import { moment } from "../shared/units";

interface Seen {
  at: number;
  show: string;
  show_name: string;
  what: string;
  by: string;
  read: string;
}

export function CaseStory({ code }: { code: string }) {
  const [story, setStory] = useState<Seen[] | null>(null);
  useEffect(() => {
    const address = `/cases/${encodeURIComponent(code)}/history`;
    void tried(() => call<Seen[]>("GET", address)).then(setStory);
  }, [code]);
  if (story === null) return null;
  return (
    <section class="card stack">
      <h2>History</h2>
      {story.length === 0 ? (
        <p class="soft">No phone has reported this case yet.</p>
      ) : (
        <table class="plain">
          <thead>
            <tr>
              <th scope="col">When</th>
              <th scope="col">Show</th>
              <th scope="col">What</th>
              <th scope="col">By</th>
              <th scope="col">Read</th>
            </tr>
          </thead>
          <tbody>
            {story.map((one) => (
              <tr key={`${one.at}${one.what}`}>
                <td>{moment(one.at)}</td>
                <td>{one.show_name}</td>
                <td>{one.what}</td>
                <td>{one.by}</td>
                <td>{one.read}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}

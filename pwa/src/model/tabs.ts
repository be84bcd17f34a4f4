/** Keeps this tab in step with the phone's other tabs. */
import { hearTabs } from "../sync/leader";
import { kick } from "./sync";
import { loadEvening } from "./evening";
import { resume } from "./joining";
import { session } from "./signals";

export function hearOtherTabs(): void {
  hearTabs((message) => {
    if (message.what === "kick") kick();
    else if (message.what === "session") void meet();
    else if (session.value) void loadEvening(session.value.show);
  });
}

/** Another tab joined or left. */
async function meet(): Promise<void> {
  if (!(await resume())) location.reload();
}

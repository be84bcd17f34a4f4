/** Delete what was never used; the server says what has a history and what to do instead. */
import { answered } from "./api";
import { opened } from "./changes";
import { Small } from "./controls";
import { go, unsaved } from "./router";
import { done, tried } from "./state";

interface DeleteButtonProps {
  id: string;
  /** What is deleted, in words. */
  what: string;
  path: string;
  load: () => Promise<void>;
  back: string;
}

export function DeleteButton({ id, what, path, load, back }: DeleteButtonProps) {
  const remove = async () => {
    if (!confirm(`Delete ${what}? This cannot be undone.`)) return;
    // As it was opened: what somebody changed since is not deleted unread.
    const seen = opened.value?.path === path ? opened.value.version : "*";
    if ((await tried(() => answered("DELETE", path, {}, seen))) === null) return;
    await load();
    unsaved.value = false;
    go(back);
    done.value = `${what} is deleted.`;
  };
  return (
    <Small id={id} onPress={() => void remove()}>
      Delete
    </Small>
  );
}

import { liveQuery } from "dexie";
import { useEffect, useMemo, useState } from "preact/hooks";
import { photosKey, type Room } from "../../actions/drafts";
import { currentStore } from "../../local/current";
import { session } from "../../local/session";
import { DraftInTab, type Part } from "./draft-tab";

export type Draft<T> = {
  value: T;
  /** Shown at once; it ends when the phone has kept it, or has no room. */
  change: (part: Part<T>) => Promise<void>;
  /** False until the phone has looked for an earlier draft: nothing typed before is overwritten. */
  ready: boolean;
  /** `full`: the phone has no room for the last change; it is on this screen only. */
  room: Room;
};

/** Told of every change in every tab; one that stood still is not, and looks when it is seen again. */
function follow(key: string, look: () => void): () => void {
  const store = currentStore.value;
  const keys = [key, photosKey(key)];
  const changes = store && liveQuery(() => store.drafts.bulkGet(keys));
  const followed = changes?.subscribe({ next: look, error: reportError });
  const isSeen = () => {
    if (document.visibilityState === "visible") look();
  };
  document.addEventListener("visibilitychange", isSeen);
  return () => {
    followed?.unsubscribe();
    document.removeEventListener("visibilitychange", isSeen);
  };
}

/** Another person who signs in, in another tab perhaps, begins with their own; a newer link goes on with this. */
function whoWrites(): string | undefined {
  const who = session.value;
  return who?.as === "link" ? "a link" : who?.principal_id;
}

/**
 * What is being typed, kept on the phone as it is typed. With no signal, after a
 * call, after the app was ended behind the camera: it is still there. The action
 * that saves clears it, in the same write.
 */
export function useDraft<T extends object>(key: string, { empty }: { empty: T }): Draft<T> {
  const [, draw] = useState(0);
  const tab = useMemo(() => new DraftInTab(key, { empty }), [key, whoWrites()]);
  useEffect(() => {
    tab.tell = () => draw((times) => times + 1);
    const look = () => void tab.keepAgain().catch(reportError);
    look();
    const unfollow = follow(key, look);
    return () => {
      tab.tell = () => undefined;
      unfollow();
    };
  }, [tab]);
  useEffect(() => tab.beginWith(empty), [tab, JSON.stringify(empty)]);
  const isFull = Object.values(tab.rooms).includes("full");
  return {
    value: tab.value,
    change: (part) => tab.change(part).catch(reportError),
    ready: tab.ready,
    room: isFull ? "full" : "kept",
  };
}

import { useEffect, useRef, useState } from "preact/hooks";
import {
  type Room,
  readDraft,
  readDraftPhotos,
  saveDraft,
  saveDraftPhotos,
} from "../../actions/drafts";
import type { PreparedPhoto } from "../../photo/prepare";

type Part<T> = Partial<T> | ((now: T) => Partial<T>);
export type Draft<T> = {
  value: T;
  change: (part: Part<T>) => void;
  /** False until the phone has looked for an earlier draft: nothing typed before is overwritten. */
  ready: boolean;
  /** `full`: the phone has no room for the last change; it is on this screen only. */
  room: Room;
};
type Rooms = { words: Room; photos: Room };
type WithPhotos = { photos?: PreparedPhoto[] };

function changedFrom<T extends object>(before: T, { now }: { now: T }): Partial<T> {
  return Object.fromEntries(
    Object.entries(now).filter(([name, value]) => value !== before[name as keyof T]),
  ) as Partial<T>;
}

async function read<T extends object>(key: string): Promise<Partial<T>> {
  const words = await readDraft<Partial<T>>(key);
  const photos = await readDraftPhotos(key);
  return { ...words, ...(photos ? { photos } : {}) } as Partial<T>;
}

/** Photos are kept beside the words, not among them. */
async function keep(
  key: string,
  { value, changed }: { value: object; changed: object },
): Promise<Partial<Rooms>> {
  const { photos = [], ...words } = value as WithPhotos;
  const { photos: newPhotos, ...newWords } = changed as WithPhotos;
  const ends: Partial<Rooms> = {};
  if (Object.keys(newWords).length > 0) {
    ends.words = await saveDraft(key, words);
  }
  if (newPhotos) {
    ends.photos = await saveDraftPhotos(key, photos);
  }
  return ends;
}

/**
 * What is being typed, kept on the phone as it is typed. With no signal, after a
 * call, after the app was ended behind the camera: it is still there. The action
 * that saves clears it, in the same write.
 */
export function useDraft<T extends object>(key: string, { empty }: { empty: T }): Draft<T> {
  const [value, setValue] = useState(empty);
  const [ready, setReady] = useState(false);
  const [rooms, setRooms] = useState<Rooms>({ words: "kept", photos: "kept" });
  const latest = useRef(value);
  const isUntouched = useRef(true);
  useEffect(() => {
    // What the form begins with may be known a moment later: the reading that was just saved.
    if (!isUntouched.current) return;
    latest.current = empty;
    setValue(empty);
  }, [JSON.stringify(empty)]);
  useEffect(() => {
    let wanted = true;
    read<T>(key).then((found) => {
      if (!wanted) return;
      if (Object.keys(found).length > 0) isUntouched.current = false;
      // What was typed while the phone looked wins over what it found.
      latest.current = { ...empty, ...found, ...changedFrom(empty, { now: latest.current }) };
      setValue(latest.current);
      setReady(true);
    });
    return () => {
      wanted = false;
    };
  }, [key]);
  const change = (part: Part<T>) => {
    const changed = typeof part === "function" ? part(latest.current) : part;
    isUntouched.current = false;
    latest.current = { ...latest.current, ...changed };
    setValue(latest.current);
    void keep(key, { value: latest.current, changed }).then((ends) =>
      setRooms((now) => ({ ...now, ...ends })),
    );
  };
  const isFull = Object.values(rooms).includes("full");
  return { value, change, ready, room: isFull ? "full" : "kept" };
}

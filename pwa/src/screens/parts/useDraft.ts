import { useEffect, useRef, useState } from "preact/hooks";
import { photosKey, readDraft, saveDraft } from "../../actions/drafts";

type Part<T> = Partial<T> | ((now: T) => Partial<T>);
export type Draft<T> = {
  value: T;
  change: (part: Part<T>) => void;
  /** False until the phone has looked for an earlier draft: nothing typed before is overwritten. */
  ready: boolean;
  /** `full`: the phone has no room for the last change; it is on this screen only. */
  room: Room;
};
type Room = "kept" | "full";
type Rooms = { words: Room; photos: Room };

/** What is kept beside the words, not among them. */
const HEAVY = ["photo", "photos"];

function only<T extends object>(value: T, { heavy }: { heavy: "yes" | "no" }): Partial<T> {
  return Object.fromEntries(
    Object.entries(value).filter(([name]) => HEAVY.includes(name) === (heavy === "yes")),
  ) as Partial<T>;
}

function changedFrom<T extends object>(before: T, { now }: { now: T }): Partial<T> {
  return Object.fromEntries(
    Object.entries(now).filter(([name, value]) => value !== before[name as keyof T]),
  ) as Partial<T>;
}

async function read<T extends object>(key: string): Promise<Partial<T>> {
  const light = await readDraft<Partial<T>>(key);
  const heavy = await readDraft<Partial<T>>(photosKey(key));
  return { ...light, ...heavy };
}

async function keep<T extends object>(
  key: string,
  { value, changed }: { value: T; changed: object },
): Promise<Partial<Rooms>> {
  const names = Object.keys(changed);
  const ends: Partial<Rooms> = {};
  if (names.some((name) => !HEAVY.includes(name))) {
    ends.words = await saveDraft(key, only(value, { heavy: "no" }));
  }
  if (names.some((name) => HEAVY.includes(name))) {
    ends.photos = await saveDraft(photosKey(key), only(value, { heavy: "yes" }));
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

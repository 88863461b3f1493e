/** What hinders the work of an earlier link from moving to the next one hinders nothing else. */
import { beforeEach, expect, test } from "vitest";
import { saveDraft, saveDraftPhotos } from "../actions/drafts";
import { readDraftPhotos } from "../local/draft_photos";
import { home } from "../local/home";
import { otherLinks } from "../local/other_links";
import { readLeftBehind } from "../queries/left-behind";
import { aLinkOpened, anIssue, aPhoto } from "../testing/phone";
import { FakeServer, job } from "../testing/server";
import { type Locks, underLock } from "./drainer";
import { gatherWork, takeOverFrom } from "./gather";
import { lockName } from "./lock";
import { exchangeWords } from "./round";

const JOB = "job-1";

/** As a browser has them, of one tab. */
class OneTab {
  held = new Set<string>();

  request = async (name: string, ...more: unknown[]) => {
    const work = more.at(-1) as (lock: unknown) => unknown;
    if (this.held.has(name)) return await work(null);
    this.held.add(name);
    try {
      return await work({ name });
    } finally {
      this.held.delete(name);
    }
  };
}

let server: FakeServer;
let locks: Locks;

beforeEach(async () => {
  await home.sessions.clear();
  server = new FakeServer();
  server.change(job);
  locks = new OneTab() as unknown as Locks;
});

const aLink = () => aLinkOpened(server, { jobId: JOB, recipient: "Kim" });

const noRoom = () => {
  throw new DOMException("no room", "QuotaExceededError");
};
const notReadable = () => {
  throw new DOMException("cannot be read", "DataError");
};

test("no round of the new link sees photos whose words are still under the old one", async () => {
  await aLink();
  await anIssue({ jobId: JOB, photo: aPhoto() });
  const next = await aLink();
  const rounds: Promise<unknown>[] = [];
  const order: string[] = [];
  next.store.uploads.hook("creating", () => {
    order.push("photo");
    const round = { name: lockName(next.who), work: () => exchangeWords(next.line) };
    rounds.push(underLock(locks, round));
  });

  await gatherWork(next.who, { locks, makeWay: () => order.push("way made") });

  expect(await Promise.all(rounds)).toEqual(["busy"]);
  expect(order).toEqual(["way made", "photo"]);
  await exchangeWords(next.line);
  expect(await next.store.attention.count()).toBe(0);
  expect(await next.store.uploads.toArray()).toMatchObject([{ held: false }]);
});

test.each([
  ["for which there is no room", noRoom, undefined],
  ["that cannot be read", notReadable, "DataError"],
])(
  "words go on without a photo %s, which stays with its own and is told of",
  async (_, hindrance, problem) => {
    const first = await aLink();
    await anIssue({ jobId: JOB, words: "one" });
    await anIssue({ jobId: JOB, words: "two", photo: aPhoto() });
    await anIssue({ jobId: JOB, words: "three" });
    const next = await aLink();
    next.store.photos_full.hook("creating", hindrance);

    const end = await gatherWork(next.who, { locks }).catch(({ name }) => name);

    expect(end).toBe(problem);
    const left = await first.store.outbox.toArray();
    expect(left.map(({ type }) => type)).toEqual(["photo.add"]);
    const moved = await next.store.outbox.orderBy("[job_id+seq]").toArray();
    expect(moved.map(({ fields }) => fields["words"])).toEqual(["one", "two", "three"]);
    expect(await first.store.photos_full.count()).toBe(1);
    expect(await readLeftBehind(next.who)).toMatchObject([{ isOwn: true, changes: 0, photos: 1 }]);

    next.store.photos_full.hook("creating").unsubscribe(hindrance);
    await exchangeWords(next.line);
    await takeOverFrom(first.who.principal_id, { who: next.who, locks });
    await exchangeWords(next.line);

    expect(await readLeftBehind(next.who)).toEqual([]);
    expect(await home.sessions.count()).toBe(1);
    expect(await next.store.photos_full.count()).toBe(1);
    expect(await next.store.uploads.toArray()).toMatchObject([{ held: false }]);
    expect(await next.store.attention.count()).toBe(0);
  },
);

test("of several photos the one that is hindered keeps back no other", async () => {
  await aLink();
  for (const words of ["one", "two", "three"]) {
    await anIssue({ jobId: JOB, words, photo: aPhoto() });
  }
  const next = await aLink();
  let tried = 0;
  next.store.photos_full.hook("creating", () => {
    tried += 1;
    if (tried === 2) notReadable();
  });

  await expect(gatherWork(next.who, { locks })).rejects.toThrow("cannot be read");

  expect(tried).toBe(3);
  expect(await next.store.photos_full.count()).toBe(2);
});

test("words go on without a draft whose picture has no room, which follows whole when it has", async () => {
  const first = await aLink();
  await anIssue({ jobId: JOB, words: "done" });
  for (const key of ["answer:i1", "answer:i2"]) {
    await saveDraft(key, { words: "half" });
  }
  await saveDraftPhotos("answer:i1", [aPhoto()]);
  const next = await aLink();
  next.store.draft_photos.hook("creating", noRoom);

  await gatherWork(next.who, { locks });

  const words = (await next.store.outbox.toArray()).map(({ fields }) => fields["words"]);
  expect(words).toEqual(["done"]);
  expect(await next.store.drafts.toCollection().primaryKeys()).toEqual(["answer:i2"]);
  expect(await readDraftPhotos(first.store, "answer:i1")).toHaveLength(1);
  expect(await readLeftBehind(next.who)).toMatchObject([{ isOwn: true, drafts: 1 }]);
  next.store.draft_photos.hook("creating").unsubscribe(noRoom);
  await gatherWork(next.who, { locks });
  expect((await next.store.drafts.get("answer:i1"))?.value).toEqual({ words: "half" });
  expect(await readDraftPhotos(next.store, "answer:i1")).toHaveLength(1);
  expect(await home.sessions.count()).toBe(1);
});

test("a full phone makes room for a photo, though another cannot be read", async () => {
  const first = await aLink();
  await anIssue({ jobId: JOB, words: "one", photo: aPhoto() });
  await anIssue({ jobId: JOB, words: "two", photo: aPhoto() });
  const next = await aLink();
  let isFull = true;
  next.store.ballast.hook("deleting", () => {
    isFull = false;
  });
  await next.store.ballast.put({ id: "ballast", blob: new Blob(["room"]) });
  const [broken] = await first.store.photos_full.toCollection().primaryKeys();
  next.store.photos_full.hook("creating", (id) => {
    if (id === broken) notReadable();
    if (isFull) noRoom();
  });

  await expect(gatherWork(next.who, { locks })).rejects.toThrow("cannot be read");

  expect(isFull).toBe(false);
  expect(await next.store.photos_full.count()).toBe(1);
  expect(await first.store.photos_full.toCollection().primaryKeys()).toEqual([broken]);
});

test("once what had no room has followed, a draft that waits for another is told of no more", async () => {
  const first = await aLink();
  await anIssue({ jobId: JOB, words: "one", photo: aPhoto() });
  await first.store.drafts.put({ key: "answer:i1", value: "of then", saved_at: "2026-11-01" });
  const next = await aLink();
  await saveDraft("answer:i1", { words: "of now" });
  next.store.photos_full.hook("creating", noRoom);
  await gatherWork(next.who, { locks });
  const told = await readLeftBehind(next.who);
  next.store.photos_full.hook("creating").unsubscribe(noRoom);

  await takeOverFrom(first.who.principal_id, { who: next.who, locks });

  expect(told).toMatchObject([{ photos: 1, drafts: 1 }]);
  expect(await readLeftBehind(next.who)).toEqual([]);
  expect(await first.store.drafts.count()).toBe(1);
});

test("a link that is hindered keeps back no other, and the next start tries again", async () => {
  const one = await aLink();
  await anIssue({ jobId: JOB, words: "of one", photo: aPhoto() });
  const two = await aLink();
  await anIssue({ jobId: JOB, words: "of two" });
  const next = await aLink();
  const hindered = one.store.outbox.hook("deleting");
  hindered.subscribe(notReadable);

  await expect(gatherWork(next.who, { locks })).rejects.toThrow("cannot be read");

  expect(
    (await home.sessions.toArray()).map(({ principal_id }) => principal_id).toSorted(),
  ).toEqual([one.who.principal_id, next.who.principal_id].toSorted());
  expect(await two.store.outbox.count()).toBe(0);
  hindered.unsubscribe(notReadable);
  await gatherWork(next.who, { locks });
  expect(await home.sessions.count()).toBe(1);
  const moved = await next.store.outbox.orderBy("[job_id+seq]").toArray();
  expect(new Set(moved.map(({ fields }) => fields["words"]))).toContain("of one");
  expect(moved).toHaveLength(3);
});

test("what another tab saves under the old link while its store is cleared is not forgotten", async () => {
  const first = await aLink();
  const next = await aLink();
  const tab = home.sessions.hook("deleting");
  const saved: Promise<unknown>[] = [];
  const save = () => {
    saved.push(first.store.drafts.put({ key: "note", value: "still dripping", saved_at: "" }));
  };
  tab.subscribe(save);

  await gatherWork(next.who, { locks });
  tab.unsubscribe(save);
  await Promise.all(saved);
  await gatherWork(next.who, { locks });

  expect(saved).toHaveLength(1);
  expect((await next.store.drafts.get("note"))?.value).toBe("still dripping");
  expect(await otherLinks(next.who)).toEqual([]);
});

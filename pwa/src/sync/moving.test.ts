/** What one link of a phone has is moved into the next one's store, whose numbers are its own. */
import { Dexie } from "dexie";
import { beforeEach, expect, test } from "vitest";
import { saveDraft, saveDraftPhotos } from "../actions/drafts";
import { hasDevice } from "../local/device";
import { deleteDraft, readDraftPhotos } from "../local/draft_photos";
import { home } from "../local/home";
import type { AttentionRecord, OutboxRecord } from "../local/records";
import type { Store } from "../local/store";
import { aLinkOpened, anIssue, aPhoto } from "../testing/phone";
import { FakeServer, job } from "../testing/server";
import type { Locks } from "./drainer";
import { gatherWork } from "./gather";
import { offerAll } from "./lanes";
import { moveWork } from "./moving";
import { exchangeWords } from "./round";

const JOB = "job-1";

async function inLane({ outbox }: Store): Promise<OutboxRecord[]> {
  return (await outbox.toArray()).toSorted((a, b) => a.seq - b.seq);
}

function aCard(id: string): AttentionRecord {
  const at = "2026-11-27T09:00:00Z";
  const what = { job_id: JOB, type: "issue.answer", entity: "i1", fields: { words: "half of it" } };
  const why = { outcome: "refused" as const, code: "moved_on", message: "", problem_fields: {} };
  return { id, ...what, ...why, device_time: at, at };
}

/** A draft of the old link, as another tab has gone on with it. */
const more = { key: "answer:i1", value: { words: "half of it" }, saved_at: "2099-01-01" };

let server: FakeServer;

beforeEach(async () => {
  await home.sessions.clear();
  server = new FakeServer();
  server.change(job);
});

const aLink = () => aLinkOpened(server, { jobId: JOB, recipient: "Kim" });

/** Begun within a hook, and done before whatever asks for the same store next. */
function inTheOtherTab(work: () => PromiseLike<unknown>): void {
  void Dexie.ignoreTransaction(work);
}

test("what is moved keeps its order, and what was sent by one link comes before all that waits under the next", async () => {
  const first = await aLink();
  for (const words of ["sent", "and sent"]) {
    await anIssue({ jobId: JOB, words });
  }
  await exchangeWords(first.line);
  await anIssue({ jobId: JOB, words: "one" });
  await anIssue({ jobId: JOB, words: "two" });
  // Numbers may tell another order than that of writing.
  await first.store.outbox.toCollection().modify((waiting) => {
    waiting.seq = 7 - waiting.seq;
  });
  const next = await aLink();

  await moveWork(first.store, { to: next.store });
  await offerAll(next.store, { job_id: JOB, device_id: "another", last_seq: 0 });

  const words = (await inLane(next.store)).map(({ fields }) => fields["words"]);
  expect(words).toEqual(["sent", "and sent", "one", "two"]);
});

test("what another tab saves and settles under the old link, while it is moved, is not begun once more here", async () => {
  const first = await aLink();
  await saveDraft("answer:i1", { words: "half of it" });
  await saveDraftPhotos("answer:i1", [aPhoto()]);
  await first.store.attention.add(aCard("m1"));
  const next = await aLink();
  let isSaved = false;
  next.store.drafts.hook("creating", () => {
    if (isSaved) return;
    isSaved = true;
    inTheOtherTab(async () => {
      await first.store.transaction("rw", first.store.tables, async () => {
        await deleteDraft(first.store, "answer:i1");
        await first.store.attention.delete("m1");
      });
    });
  });

  await moveWork(first.store, { to: next.store });

  expect(isSaved).toBe(true);
  for (const table of ["drafts", "draft_photos", "attention"] as const) {
    expect(await next.store[table].count(), table).toBe(0);
    expect(await first.store[table].count(), table).toBe(0);
  }
});

test("a photo that another tab has given up while others are moved is not announced without its picture", async () => {
  const first = await aLink();
  for (const sha256 of ["1", "2"].map((digit) => digit.repeat(64))) {
    await anIssue({ jobId: JOB, photo: { ...aPhoto(), sha256 } });
  }
  const next = await aLink();
  const [, last] = await first.store.uploads.toCollection().primaryKeys();
  next.store.uploads.hook("creating", (id) => {
    if (id === last) return;
    inTheOtherTab(async () => {
      const { uploads, photos_full } = first.store;
      await first.store.transaction("rw", uploads, photos_full, async () => {
        await uploads.delete(last ?? "");
        await photos_full.delete(last ?? "");
      });
    });
  });

  await moveWork(first.store, { to: next.store });

  expect(await next.store.uploads.count()).toBe(1);
  expect(await next.store.photos_full.count()).toBe(1);
});

test("what another tab writes on under the old link, and then saves, is not begun once more here", async () => {
  const first = await aLink();
  await saveDraft("answer:i1", { words: "half" });
  const next = await aLink();
  const { drafts } = first.store;
  const seen: string[] = [];
  next.store.drafts.hook("creating", () => {
    seen.push("writes");
    inTheOtherTab(() => drafts.put(more));
  });
  next.store.drafts.hook("updating", () => {
    seen.push("saves");
    inTheOtherTab(() => drafts.delete(more.key));
  });

  await moveWork(first.store, { to: next.store });

  expect(seen).toEqual(["writes", "saves"]);
  expect([await drafts.count(), await next.store.drafts.count()]).toEqual([0, 0]);
});

test("what another tab writes on under the old link comes along", async () => {
  const first = await aLink();
  await saveDraft("answer:i1", { words: "half" });
  const next = await aLink();
  next.store.drafts.hook("creating", () => {
    inTheOtherTab(() => first.store.drafts.put(more));
  });

  const end = await moveWork(first.store, { to: next.store });

  expect(end).toBe("all");
  expect(await next.store.drafts.toArray()).toEqual([more]);
  expect(await first.store.drafts.count()).toBe(0);
});

test("an entry that is begun under both links keeps its photos, also when the new one is saved meanwhile", async () => {
  const first = await aLink();
  for (const key of ["answer:i1", "answer:i2"]) {
    await saveDraftPhotos(key, [aPhoto()]);
  }
  const next = await aLink();
  await saveDraft("answer:i1", { words: "of now" });
  next.store.draft_photos.hook("creating", () => {
    inTheOtherTab(() => next.store.drafts.delete("answer:i1"));
  });

  const end = await moveWork(first.store, { to: next.store });

  expect(end).toBe("held");
  expect(await hasDevice(first.store)).toBe(true); // it is in use still, and not one that was cleared
  expect(await readDraftPhotos(first.store, "answer:i1")).toHaveLength(1);
  expect(await readDraftPhotos(next.store, "answer:i2")).toHaveLength(1);
});

test("words and photos of an entry stay together, though another tab types while they are moved", async () => {
  const first = await aLink();
  await saveDraft("answer:i1", { words: "half" });
  await saveDraftPhotos("answer:i1", [aPhoto()]);
  const next = await aLink();
  next.store.drafts.hook("creating", () => {
    inTheOtherTab(() => first.store.drafts.put(more));
  });

  const end = await moveWork(first.store, { to: next.store });

  expect(end).toBe("all");
  expect((await next.store.drafts.get("answer:i1"))?.value).toEqual({ words: "half of it" });
  expect(await readDraftPhotos(next.store, "answer:i1")).toHaveLength(1);
});

test("a photo that another tab sends again while it is moved has no card any more", async () => {
  const first = await aLink();
  await anIssue({ jobId: JOB, photo: aPhoto() });
  const sent = (await inLane(first.store)).at(-1) as OutboxRecord;
  await first.store.outbox.delete(sent.id);
  await first.store.attention.add({ ...aCard(sent.id), type: sent.type, entity: sent.entity });
  const next = await aLink();
  next.store.attention.hook("creating", () => {
    const { outbox, attention } = first.store;
    inTheOtherTab(() =>
      first.store.transaction("rw", outbox, attention, async () => {
        await attention.delete(sent.id);
        await outbox.add({ ...sent, id: "again", replaces: sent.id });
      }),
    );
  });

  await moveWork(first.store, { to: next.store });

  expect(await next.store.attention.count()).toBe(0);
  expect((await inLane(next.store)).map(({ id }) => id)).toContain("again");
  expect(await next.store.photos_full.count()).toBe(1);
});

test("two links that take each other in at once, in two tabs, lose nothing", async () => {
  const first = await aLink();
  await saveDraft("answer:issue-1", { words: "half of it" });
  const next = await aLink();
  await saveDraft("answer:issue-2", { words: "half of that" });
  const ends = new Map<string, Promise<unknown>>();
  const inTurn = {
    request: (name: string, work: () => unknown) => {
      const end = (ends.get(name) ?? Promise.resolve()).then(work);
      ends.set(name, end);
      return end;
    },
  } as Locks;

  await Promise.all([
    gatherWork(next.who, { locks: inTurn }),
    gatherWork(first.who, { locks: inTurn }),
  ]);

  const kept = [...(await first.store.drafts.toArray()), ...(await next.store.drafts.toArray())];
  expect(kept.map(({ key }) => key).toSorted()).toEqual(["answer:issue-1", "answer:issue-2"]);
  expect(await next.store.drafts.count()).toBe(2);
});

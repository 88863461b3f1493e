import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { keepBallast } from "../local/disk";
import { leaveSession } from "../local/session";
import type { Store } from "../local/store";
import { aLinkOpened, anIssue, aPhoto, benWithAPhone, idOf } from "../testing/phone";
import { FakeServer } from "../testing/server";
import { answerIssue } from "./answerIssue";
import { readDraft, readDraftPhotos, saveDraft, saveDraftPhotos } from "./drafts";
import { proveIssue } from "./proveIssue";
import { raiseIssue } from "./raiseIssue";
import { recordReading } from "./recordReading";
import { sendBackIssue } from "./sendBackIssue";

let store: Store;

beforeEach(async () => {
  ({ store } = await benWithAPhone(new FakeServer()));
});

afterEach(() => vi.unstubAllGlobals());

/** From now on the phone is full whenever something is put into that store. */
function fillUp(table: "photos_full" | "outbox" | "overlay"): () => void {
  const full = () => {
    throw new DOMException("no room", "QuotaExceededError");
  };
  store[table].hook("creating", full);
  return () => store[table].hook("creating").unsubscribe(full);
}

async function counts() {
  return {
    overlay: await store.overlay.count(),
    outbox: await store.outbox.count(),
    photos: await store.photos_full.count(),
    lane: (await store.lanes.get("job-1"))?.last_seq ?? 0,
  };
}

test("an issue with a photo is overlay, outbox, photo and small picture at once", async () => {
  const id = idOf(await anIssue({ jobId: "job-1", photo: aPhoto() }));

  expect(await counts()).toEqual({ overlay: 3, outbox: 2, photos: 1, lane: 2 });
  const [raised, photo] = await store.outbox.orderBy("[job_id+seq]").toArray();
  expect(raised).toMatchObject({ type: "issue.raise", entity: id, seq: 1, v: 1, base_rev: 0 });
  expect(photo).toMatchObject({ type: "photo.add", seq: 2, fields: { issue_id: id } });
  expect(await store.thumbs.get([photo?.entity ?? "", "thumb"])).toBeDefined();
});

test.each(["photos_full", "outbox", "overlay"] as const)(
  "a phone that is full at %s keeps nothing of the save, and says so",
  async (table) => {
    await saveDraft("log:job-1", { words: "oil at the flare" });
    fillUp(table);

    const result = await anIssue({ jobId: "job-1", photo: aPhoto(), draftKey: "log:job-1" });

    expect(result).toEqual({ ok: false, code: "disk_full" });
    expect(await counts()).toEqual({ overlay: 0, outbox: 0, photos: 0, lane: 0 });
    expect(await readDraft("log:job-1")).toEqual({ words: "oil at the flare" });
  },
);

test("a save that breaks keeps nothing of itself, says so, and reports what broke", async () => {
  const broken = new Error("the disk is gone");
  const report = vi.fn();
  vi.stubGlobal("reportError", report);
  store.overlay.hook("creating", () => {
    throw broken;
  });

  const result = await anIssue({ jobId: "job-1", photo: aPhoto() });

  expect(result).toEqual({ ok: false, code: "broken_off" });
  expect(await counts()).toEqual({ overlay: 0, outbox: 0, photos: 0, lane: 0 });
  expect(report).toHaveBeenCalledExactlyOnceWith(broken);
});

test("words are saved on a full phone by letting the ballast go", async () => {
  await keepBallast(store);
  const isFull = async () => (await store.ballast.count()) > 0;
  let full = await isFull();
  store.outbox.hook("creating", () => {
    if (full) {
      full = false;
      throw new DOMException("no room", "QuotaExceededError");
    }
  });

  const result = await anIssue({ jobId: "job-1" });

  expect(result.ok).toBe(true);
  expect(await store.ballast.count()).toBe(0);
  expect(await store.outbox.count()).toBe(1);
});

test("a draft goes in the transaction that saves the finished thing", async () => {
  await saveDraft("log:job-1", { words: "oil" });

  await anIssue({ jobId: "job-1", draftKey: "log:job-1" });

  expect(await readDraft("log:job-1")).toBeUndefined();
});

test("a phone that dies right after the save does not offer the same photos again", async () => {
  await saveDraft("log:job-1", { words: "oil" });
  await saveDraftPhotos("log:job-1", [aPhoto()]);

  await anIssue({ jobId: "job-1", photo: aPhoto(), draftKey: "log:job-1" });

  expect(await store.drafts.count()).toBe(0);
  expect(await store.draft_photos.count()).toBe(0);
  expect(await store.photos_full.count()).toBe(1);
});

test("a save that a full phone does not take leaves the photos of the draft where they are", async () => {
  await saveDraftPhotos("log:job-1", [aPhoto()]);
  fillUp("photos_full");

  const result = await anIssue({ jobId: "job-1", photo: aPhoto(), draftKey: "log:job-1" });

  expect(result).toEqual({ ok: false, code: "disk_full" });
  expect(await readDraftPhotos("log:job-1")).toHaveLength(1);
});

test("an outbox row never changes", async () => {
  await anIssue({ jobId: "job-1" });
  const row = await store.outbox.toCollection().first();

  const change = store.outbox.update(row?.id ?? "", { fields: { words: "other words" } });

  await expect(change).rejects.toThrow("an outbox row never changes");
  expect(await store.outbox.toCollection().first()).toEqual(row);
});

test("numbers are dense in each lane, also when many saves run at once and one fails", async () => {
  const makeRoom = fillUp("photos_full");
  await Promise.all([
    anIssue({ jobId: "job-1" }),
    anIssue({ jobId: "job-1", photo: aPhoto() }),
    anIssue({ jobId: "job-2" }),
    anIssue({ jobId: "job-1" }),
  ]);
  makeRoom();
  await anIssue({ jobId: "job-1" });

  const keys = await store.outbox.orderBy("[job_id+seq]").keys();
  expect(keys).toEqual([
    ["job-1", 1],
    ["job-1", 2],
    ["job-1", 3],
    ["job-2", 1],
  ]);
});

test("a change carries the highest rev at which this phone knew the row", async () => {
  await store.rows.put({ table: "issue", id: "i", job_id: "job-1", rev: 12, fields: {} });

  await proveIssue({ jobId: "job-1", issueId: "i", words: "held 24 h" });

  expect(await store.outbox.toCollection().first()).toMatchObject({ base_rev: 12 });
});

test("a receipt says nothing of what others changed before it: only what was pulled is known", async () => {
  await store.rows.put({ table: "issue", id: "i", job_id: "job-1", rev: 12, fields: {} });
  await proveIssue({ jobId: "job-1", issueId: "i", words: "held 24 h" });
  await store.overlay.toCollection().modify({ rev: 15 });
  await store.outbox.clear();

  await proveIssue({ jobId: "job-1", issueId: "i", words: "held 25 h" });

  expect(await store.outbox.toCollection().first()).toMatchObject({ base_rev: 12 });
});

test("a reading says what was known of the step that it settles", async () => {
  await store.rows.put({ table: "step", id: "s1", job_id: "job-1", rev: 7, fields: {} });

  await recordReading({
    jobId: "job-1",
    calculation: "unit_count",
    systemId: null,
    unitId: null,
    stepId: "s1",
    visitId: null,
    inputs: {},
    entered: {},
    outputs: {},
    verdict: "pass",
    engineVersion: "1",
  });

  expect(await store.outbox.toCollection().first()).toMatchObject({ base_rev: 7 });
});

test("what is not on this phone cannot be acted on, and what is missing is named", async () => {
  const unknown = await proveIssue({ jobId: "job-1", issueId: "nowhere", words: "" });
  const silent = await sendBackIssue({ jobId: "job-1", issueId: "i", words: "  " });

  expect(unknown).toEqual({ ok: false, code: "not_found" });
  expect(silent).toEqual({ ok: false, code: "invalid", fields: { words: "missing" } });
  expect(await store.outbox.count()).toBe(0);
});

test.each([
  ["letters", 1_000_000, "x"],
  ["letters of two bytes", 500_000, "ä"],
])(
  "more %s than one change may have are refused here, with nothing lost",
  async (_, count, letter) => {
    const words = letter.repeat(count);

    const result = await anIssue({ jobId: "job-1", words });

    expect(result).toEqual({ ok: false, code: "invalid", fields: { size: "too_long" } });
    expect(await store.outbox.count()).toBe(0);
  },
);

test("nobody signed in, nothing written", async () => {
  await leaveSession();

  const result = await raiseIssue({
    jobId: "job-1",
    unitId: "u",
    category: "leak",
    words: "",
    action: "",
    evidence: "",
    stops: [],
    opensCircuit: false,
    whoMustAct: "contractor",
  });

  expect(result).toEqual({ ok: false, code: "not_signed_in" });
});

test("a contractor's answer has the name that the server will give it: whom the link was made out to", async () => {
  const { store: links } = await aLinkOpened(new FakeServer(), {
    jobId: "job-1",
    recipient: "Pat",
  });
  await links.rows.put({
    table: "issue",
    id: "issue-1",
    job_id: "job-1",
    rev: 1,
    fields: { state: "open" },
  } as never);

  const answer = {
    words: "Tightened.",
    fixed: true,
    promisedOn: null,
    photos: [],
    draftKey: "answer:issue-1",
  };
  idOf(await answerIssue({ jobId: "job-1", issueId: "issue-1", ...answer }));

  const names = (await links.overlay.toArray()).map(({ table, fields }) => {
    const { by_name, answered_by_name } = fields as Record<string, unknown>;
    return [table, by_name ?? answered_by_name];
  });
  expect(names).toEqual(
    expect.arrayContaining([
      ["issue", "Pat"],
      ["issue_event", "Pat"],
    ]),
  );
});

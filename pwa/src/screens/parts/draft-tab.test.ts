/** Two tabs on one half-written entry: neither takes from the other what was typed or photographed there. */
import { Dexie } from "dexie";
import { beforeEach, expect, test, vi } from "vitest";
import { readDraft, readDraftPhotos, saveDraft, saveDraftPhotos } from "../../actions/drafts";
import { keepBallast } from "../../local/disk";
import { photosKey } from "../../local/drafts";
import type { Mark } from "../../local/rows";
import type { Store } from "../../local/store";
import type { PreparedPhoto } from "../../photo/prepare";
import { anIssue, aPhoto, benWithAPhone } from "../../testing/phone";
import { FakeServer } from "../../testing/server";
import { DraftInTab } from "./draft-tab";

const KEY = "log:job-1:u1";
type Form = { category: string | null; words: string; photos: PreparedPhoto[] };
type Numbers = { typed: Record<string, { text: string; unit: string }> };
const EMPTY: Form = { category: null, words: "", photos: [] };
const [left, right] = ["1", "2"].map((digit) => ({ ...aPhoto(), sha256: digit.repeat(64) })) as [
  PreparedPhoto,
  PreparedPhoto,
];
const ring: Mark = {
  tool: "ring",
  points: [
    [0, 0],
    [1, 1],
  ],
};

let store: Store;

beforeEach(async () => {
  ({ store } = await benWithAPhone(new FakeServer()));
});

async function aTab<T extends object>(empty: T): Promise<DraftInTab<T>> {
  const tab = new DraftInTab(KEY, { empty });
  await tab.look();
  return tab;
}

/** It does so with its own app: this one is not told. */
async function savedInAnotherTab(): Promise<void> {
  await store.drafts.bulkDelete([KEY, photosKey(KEY)]);
  await store.draft_photos.clear();
}

/** A phone that takes its time to write: the first who waits is let in first. */
function holdDrafts() {
  const held = Promise.withResolvers<void>();
  const { drafts, draft_photos } = store;
  const over = store.transaction("rw", drafts, draft_photos, () => Dexie.waitFor(held.promise));
  const letGo = async () => {
    held.resolve();
    await over;
  };
  return { letGo };
}

const aMoment = () => new Promise((done) => setTimeout(done, 20));

const digits = (photos: PreparedPhoto[] | undefined) => photos?.map(({ sha256 }) => sha256[0]);

test("words of one tab and photos of both are kept, whichever was opened first", async () => {
  const one = await aTab(EMPTY);
  const other = await aTab(EMPTY);

  await one.change({ words: "oil" });
  await one.change((now) => ({ photos: [...now.photos, left] }));
  await other.change((now) => ({ photos: [...now.photos, right] }));
  await other.change({ category: "leak" });

  expect(await readDraft(KEY)).toEqual({ category: "leak", words: "oil" });
  expect(digits(await readDraftPhotos(KEY))).toEqual(["1", "2"]);
  expect(await store.draft_photos.count()).toBe(4);
  await one.look();
  expect(one.value).toMatchObject({ category: "leak", words: "oil" });
  expect(digits(one.value.photos)).toEqual(["1", "2"]);
});

test("a tab takes out only the photo that was taken out in it, and keeps what the other drew", async () => {
  await saveDraftPhotos(KEY, [left, right]);
  const one = await aTab(EMPTY);
  const other = await aTab(EMPTY);

  await one.change(({ photos }) => ({
    photos: photos.map((photo) =>
      photo.sha256 === right.sha256 ? { ...photo, marks: [ring] } : photo,
    ),
  }));
  await other.change(({ photos }) => ({
    photos: photos.filter((photo) => photo.sha256 !== left.sha256),
  }));

  expect(await readDraftPhotos(KEY)).toMatchObject([{ sha256: right.sha256, marks: [ring] }]);
  expect(await store.draft_photos.count()).toBe(2);
});

test("two numbers of one check, typed in two tabs, are both kept, and one that was emptied goes", async () => {
  await saveDraft(KEY, { typed: { b: { text: "2", unit: "V" } } });
  const one = await aTab<Numbers>({ typed: {} });
  const other = await aTab<Numbers>({ typed: {} });

  await one.change(({ typed }) => ({ typed: { ...typed, a: { text: "1", unit: "V" } } }));
  await other.change(() => ({ typed: { c: { text: "3", unit: "V" } } }));

  expect(await readDraft(KEY)).toEqual({
    typed: { a: { text: "1", unit: "V" }, c: { text: "3", unit: "V" } },
  });
});

test("what was read while it was being saved does not empty the form, which says that it is saved", async () => {
  const tab = await aTab(EMPTY);
  await tab.change({ words: "oil" });

  const looked = tab.look();
  const saved = anIssue({ jobId: "job-1", draftKey: KEY });
  await Promise.all([looked, saved]);
  await tab.look();

  expect((await saved).ok).toBe(true);
  expect(await readDraft(KEY)).toBeUndefined();
  expect(tab.value.words).toBe("oil");
});

test("letters typed while the phone still writes are neither lost nor set back", async () => {
  const tab = await aTab(EMPTY);

  await Promise.all(["o", "oi", "oil"].map((words) => tab.change({ words })));
  await tab.look();

  expect(tab.value.words).toBe("oil");
  expect(await readDraft(KEY)).toMatchObject({ words: "oil" });
});

test("what is set back while the phone still writes stays set back", async () => {
  const tab = await aTab(EMPTY);
  await tab.change({ category: "leak", words: "oil" });
  await tab.change({ photos: [left] });

  await Promise.all([
    tab.change({ words: "oil!" }),
    tab.change({ words: "oil" }),
    tab.change({ category: "drain" }),
    tab.change({ category: "leak" }),
    tab.change({ photos: [left, right] }),
    tab.change({ photos: [left] }),
    tab.change({ photos: [{ ...left, marks: [ring] }] }),
    tab.change({ photos: [{ ...left, marks: [] }] }),
  ]);
  await tab.look();

  expect(tab.value).toMatchObject({ category: "leak", words: "oil" });
  expect(tab.value.photos.map(({ marks = [] }) => marks)).toEqual([[]]);
  expect(await readDraft(KEY)).toEqual({ category: "leak", words: "oil" });
  expect(digits(await readDraftPhotos(KEY))).toEqual(["1"]);
  expect(await store.draft_photos.count()).toBe(2);
});

test("what had no room is kept as soon as there is, and not what was saved since", async () => {
  const tab = await aTab(EMPTY);
  const full = () => {
    throw new DOMException("no room", "QuotaExceededError");
  };
  store.draft_photos.hook("creating", full);
  await tab.change({ words: "oil", photos: [left] });
  const before = { ...tab.rooms };
  const written = vi.fn();
  store.drafts.hook("updating", written);
  await tab.keepAgain();
  store.drafts.hook("updating").unsubscribe(written);
  // Else a tab that follows its own draft would write and hear of it without end.
  expect(written).not.toHaveBeenCalled();
  store.draft_photos.hook("creating").unsubscribe(full);

  await tab.keepAgain();

  expect([before.photos, tab.rooms.photos]).toEqual(["full", "kept"]);
  expect(digits(await readDraftPhotos(KEY))).toEqual(["1"]);
  tab.rooms.photos = "full";
  await anIssue({ jobId: "job-1", draftKey: KEY });
  await tab.keepAgain();
  expect(await store.drafts.count()).toBe(0);
});

test("a photo is shown, taken out and drawn on at once, while the phone still writes", async () => {
  const tab = await aTab(EMPTY);
  const shown: unknown[] = [];
  tab.tell = () => shown.push(tab.value.photos.map(({ marks = [] }) => marks));

  const changes = [
    tab.change({ photos: [left, right] }),
    tab.change({ photos: [left] }),
    tab.change({ photos: [{ ...left, marks: [ring] }] }),
  ];

  expect(shown).toEqual([[[], []], [[]], [[ring]]]);
  await Promise.all(changes);
});

test("what still waited to be written when it was saved does not come back as a draft", async () => {
  const tab = await aTab(EMPTY);
  const held = holdDrafts();
  const first = tab.change({ words: "o", photos: [left] });
  await aMoment();
  const second = tab.change({ words: "oi", photos: [left, right] });
  const saving = anIssue({ jobId: "job-1", draftKey: KEY });
  await aMoment();

  await held.letGo();
  await Promise.all([saving, first, second]);

  expect(await store.drafts.count()).toBe(0);
  expect(await store.draft_photos.count()).toBe(0);
});

test("what is typed and photographed while the phone still saves is a new entry of that alone", async () => {
  const tab = await aTab(EMPTY);
  await tab.change({ words: "oil", photos: [left] });
  const held = holdDrafts();
  const saving = anIssue({ jobId: "job-1", draftKey: KEY });
  const changes = [tab.change({ photos: [left, right] }), tab.change({ category: "leak" })];
  await aMoment();

  await held.letGo();
  await Promise.all([saving, ...changes]);

  expect(await readDraft(KEY)).toMatchObject({ category: "leak", words: "" });
  expect(digits(await readDraftPhotos(KEY))).toEqual(["2"]);
});

test.each(["words", "a photo"])(
  "what is typed while a save with %s is being written is not taken along by it",
  async (what) => {
    const tab = await aTab(EMPTY);
    await keepBallast(store);
    await tab.change({ words: "oil", photos: [left] });

    const photo = what === "words" ? {} : { photo: left };
    const saving = anIssue({ jobId: "job-1", draftKey: KEY, ...photo });
    await Promise.all([saving, tab.change({ words: "a loose wire" })]);

    expect(await saving).toMatchObject({ ok: true });
    expect(await readDraft(KEY)).toMatchObject({ words: "a loose wire" });
    expect(await readDraftPhotos(KEY)).toBeUndefined();
  },
);

test("what still waited to be written at a save is no part of the entry that is begun during it", async () => {
  const tab = await aTab(EMPTY);
  const held = holdDrafts();
  const first = tab.change({ words: "o" });
  await aMoment();
  const second = tab.change({ words: "oil" });
  const saving = anIssue({ jobId: "job-1", draftKey: KEY });
  await aMoment();
  const third = tab.change({ category: "leak" });

  await held.letGo();
  await Promise.all([saving, first, second, third]);

  expect(await readDraft(KEY)).toMatchObject({ category: "leak", words: "" });
});

test("two presses of one entry that overlap take nothing along that was typed after each", async () => {
  const tab = await aTab(EMPTY);
  await tab.change({ words: "oil" });
  const held = holdDrafts();

  const first = anIssue({ jobId: "job-1", draftKey: KEY });
  const between = tab.change({ category: "leak" });
  const second = anIssue({ jobId: "job-1", draftKey: KEY });
  const after = tab.change({ words: "a loose wire" });
  await held.letGo();
  await Promise.all([first, between, second, after]);

  expect(await readDraft(KEY)).toEqual({ category: null, words: "a loose wire" });
});

test("a save that finds no room leaves what was typed before it in the draft", async () => {
  const tab = await aTab(EMPTY);
  const held = holdDrafts();
  const changes = [tab.change({ words: "o" }), aMoment().then(() => tab.change({ words: "oil" }))];
  await aMoment();
  store.outbox.hook("creating", () => {
    throw new DOMException("no room", "QuotaExceededError");
  });
  const saving = anIssue({ jobId: "job-1", draftKey: KEY });
  await aMoment();

  await held.letGo();
  await Promise.all([saving, ...changes]);

  expect(await saving).toMatchObject({ ok: false, code: "disk_full" });
  expect(await readDraft(KEY)).toMatchObject({ words: "oil" });
});

test("the next entry after a save is kept once there is room, though its first letter found none", async () => {
  const first = await aTab(EMPTY);
  await first.change({ words: "oil" });
  await anIssue({ jobId: "job-1", draftKey: KEY });
  const next = await aTab(EMPTY);
  const full = () => {
    throw new DOMException("no room", "QuotaExceededError");
  };
  store.drafts.hook("creating", full);
  await next.change({ words: "d" });
  store.drafts.hook("creating").unsubscribe(full);

  await next.keepAgain();

  expect(await readDraft(KEY)).toMatchObject({ words: "d" });
});

test("what another tab saved leaves the form of this one, and what is typed on is a new entry of that alone", async () => {
  const one = await aTab(EMPTY);
  await one.change({ category: "leak", words: "oil" });
  await one.change({ photos: [left] });

  await savedInAnotherTab();
  await one.look();
  const seen = one.value;
  await one.change({ words: "a loose wire" });

  expect(seen).toEqual(EMPTY);
  expect(await readDraft(KEY)).toEqual({ category: null, words: "a loose wire" });
  expect(await readDraftPhotos(KEY)).toBeUndefined();
});

test("a tab that has not noticed yet brings back nothing but the field that is typed in", async () => {
  const one = await aTab(EMPTY);
  await one.change({ category: "leak", words: "oil" });
  await one.change({ photos: [left] });

  await savedInAnotherTab();
  await one.change((now) => ({ words: `${now.words}, and dust` }));

  expect(await readDraft(KEY)).toEqual({ category: null, words: "oil, and dust" });
  expect(await readDraftPhotos(KEY)).toBeUndefined();
  expect(one.value).toEqual({ ...EMPTY, words: "oil, and dust" });
});

test("the tab that saved goes on showing what it saved", async () => {
  const one = await aTab(EMPTY);
  await one.change({ category: "leak", words: "oil" });

  await anIssue({ jobId: "job-1", draftKey: KEY });
  await one.look();

  expect(one.value).toMatchObject({ category: "leak", words: "oil" });
  expect(await readDraft(KEY)).toBeUndefined();
});

test("a form that was emptied again is no draft", async () => {
  const one = await aTab(EMPTY);
  await one.change({ words: "oil" });
  await one.change({ photos: [left] });

  await one.change({ words: "" });
  await one.change({ photos: [] });

  expect(await store.drafts.count()).toBe(0);
});

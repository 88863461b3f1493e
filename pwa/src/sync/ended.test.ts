/** Rule 14, for all jobs at once: whoever is of the company no more keeps what nobody has taken over, and else nothing. */
import { beforeEach, expect, test } from "vitest";
import { createJob } from "../actions/createJob";
import { readJobs } from "../queries/jobs";
import { countWaiting } from "../queries/sync";
import { anIssue, aPhoto, benWithAPhone, type Phone } from "../testing/phone";
import { FakeServer, job, step } from "../testing/server";
import { keepPeople } from "./people";
import { exchangeWords } from "./round";

let server: FakeServer;
let ben: Phone;

beforeEach(async () => {
  server = new FakeServer();
  ben = await benWithAPhone(server);
  server.change(job);
  server.change(step("s1"));
  server.change({ ...job, id: "job-2", job_id: "job-2" });
  await exchangeWords(ben.line);
  await keepPeople(ben.line);
});

const jobsHere = async () => await ben.store.rows.orderBy("job_id").uniqueKeys();

test("an ended person's phone hands over what was unsent, and then lets go of every job and of all people", async () => {
  const words = await anIssue({ jobId: "job-1", words: "Drips" });
  server.end();

  const ended = await exchangeWords(ben.line);

  expect([ended, words.ok]).toEqual(["done", true]);
  expect(server.pushes().flat()).toMatchObject([
    { type: "issue.raise", fields: { words: "Drips" } },
  ]);
  expect(await ben.store.attention.toArray()).toMatchObject([
    { code: "no_access", job_name: "Invented Hall", fields: { words: "Drips" } },
  ]);
  expect([await jobsHere(), await ben.store.overlay.count()]).toEqual([[], 0]);
  expect(await ben.store.meta.get("people")).toBeUndefined();
  expect(await countWaiting(ben.store)).toMatchObject({ is_ended: true, waiting: 0, attention: 1 });
});

test("nothing goes before its receipt: with the answer lost the job is still here, and goes with the next", async () => {
  await anIssue({ jobId: "job-1" });
  server.end();
  server.after = ({ path }) => (path === "/api/sync/push" ? "cut" : undefined);
  await exchangeWords(ben.line);
  const before = { jobs: await jobsHere(), outbox: await ben.store.outbox.count() };
  server.after = () => undefined;

  await exchangeWords(ben.line);

  expect(before).toEqual({ jobs: ["job-1"], outbox: 1 });
  expect([await jobsHere(), await ben.store.attention.count()]).toEqual([[], 1]);
});

test("a photo whose bytes nobody else has stays, held, and is not sent", async () => {
  await anIssue({ jobId: "job-1", photo: aPhoto() });
  server.end();

  await exchangeWords(ben.line);

  expect(await ben.store.photos_full.count()).toBe(1);
  expect(await ben.store.uploads.toArray()).toMatchObject([{ held: true }]);
});

test("a job that was set up on this phone goes like any other, and is not offered once more", async () => {
  const made = await aJobMadeHere();
  await exchangeWords(ben.line);
  server.end();
  const sent = server.pushes().length;

  await exchangeWords(ben.line);
  await exchangeWords(ben.line);

  expect(made).toBe(true);
  expect(server.pushes()).toHaveLength(sent);
  expect(await jobsHere()).toEqual([]);
});

async function aJobMadeHere(): Promise<boolean> {
  const shift = { shiftStart: "07:00", shiftEnd: "15:30", shiftDays: [1] };
  const about = { name: "New Hall", address: "", contractorFirm: "", timeZone: "UTC" };
  const made = await createJob({ ...about, ...shift, systems: [], units: [], limits: {} });
  return made.ok;
}

test("the people are not asked for again, and the end is known from the phone alone", async () => {
  server.end();
  await exchangeWords(ben.line);
  const asked = server.log.length;

  await keepPeople(ben.line);

  expect(server.log).toHaveLength(asked);
  expect(await readJobs(ben.store)).toEqual([]);
  expect((await countWaiting(ben.store)).is_ended).toBe(true);
});

test("whoever comes back goes on as before", async () => {
  server.end();
  await exchangeWords(ben.line);
  server.isEnded = false;
  server.seen = null;

  await exchangeWords(ben.line);

  expect(await jobsHere()).toEqual(["job-1", "job-2"]);
  expect((await countWaiting(ben.store)).is_ended).toBe(false);
});

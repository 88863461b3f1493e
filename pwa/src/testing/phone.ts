/** Builders for tests: a phone with somebody on it, and things that they do. Invented people. */
import { raiseIssue } from "../actions/raiseIssue";
import { adoptDevice } from "../local/device";
import type { Result } from "../local/result";
import { enterSession, type Session } from "../local/session";
import { type Store, storeOf } from "../local/store";
import { uuid7 } from "../local/uuid7";
import type { PreparedPhoto } from "../photo/prepare";
import type { Line } from "../sync/line";
import type { FakeServer } from "./server";

export type Phone = { store: Store; line: Line; who: Session };

/** Ben is on the job: a phone of his own for each test, and the server knows his session. */
export async function benWithAPhone(server: FakeServer): Promise<Phone> {
  const who: Session = {
    as: "device",
    principal_id: uuid7(),
    role: "technician",
    name: "Ben",
    company_name: "Invented Cooling",
  };
  server.cookie = who.principal_id;
  const store = storeOf(who.principal_id);
  await adoptDevice(store, uuid7());
  await enterSession(who);
  const line: Line = {
    principal_id: who.principal_id,
    store,
    wire: { as: "device", fetch: server.fetch },
  };
  return { store, line, who };
}

type LinkTo = { jobId: string; recipient: string; firm?: string };

/** A contractor opens a link on the phone at hand; opened later than all before it. */
export async function aLinkOpened(
  server: FakeServer,
  { jobId, recipient, firm = "Invented Pipes" }: LinkTo,
): Promise<Phone> {
  const who: Session = {
    as: "link",
    principal_id: uuid7(),
    role: "contractor",
    name: firm,
    company_name: "Invented Cooling",
    job_id: jobId,
    firm,
    recipient,
  };
  server.cookie = who.principal_id;
  const { principal_id } = who;
  const store = storeOf(principal_id);
  await adoptDevice(store, uuid7());
  await enterSession(who);
  return { store, who, line: { principal_id, store, wire: { as: "link", fetch: server.fetch } } };
}

export async function anIssue(what: {
  jobId: string;
  words?: string;
  photo?: PreparedPhoto;
  draftKey?: string;
}): Promise<Result> {
  return await raiseIssue({
    unitId: "unit-1",
    category: "leak",
    words: "oil at the flare",
    action: "",
    evidence: "",
    stops: ["refrigerant"],
    opensCircuit: true,
    whoMustAct: "contractor",
    ...what,
  });
}

export function aPhoto(): PreparedPhoto {
  return {
    full: new Blob(["a large picture"], { type: "image/jpeg" }),
    thumb: new Blob(["a small one"], { type: "image/jpeg" }),
    sha256: "ab".repeat(32),
    size_bytes: 15,
    width_px: 4,
    height_px: 3,
    taken_at: "2026-11-25T09:00:00.000Z",
  };
}

/** The id of what was done; a test that could not do it fails here. */
export function idOf(result: Result): string {
  if (!result.ok) {
    throw new Error(`not saved: ${result.code}`);
  }
  return result.id;
}

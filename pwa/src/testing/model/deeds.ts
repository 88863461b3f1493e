/** What people do on their phones, drawn from what they see there. */
import { Buffer } from "node:buffer";
import { createHash } from "node:crypto";
import type { AttentionRecord, BaseRecord, OverlayRecord } from "../../local/records";
import type { Result } from "../../local/result";
import type { StepState } from "../../local/rows";
import { type Chance, favour } from "./chance.ts";
import type { Device } from "./device.ts";
import type { App } from "./tab.ts";

export type Site = { id: string; system_id: string; unit_ids: string[] };
export type Deed = {
  name: string;
  count: number;
  touch: (app: App) => Promise<Result>;
  /** The card that is dealt with by it. */
  card?: string;
  /** Words of it that must lie on the disk once it is saved. */
  says?: string;
};
export type Doing = {
  device: Device;
  site: Site;
  words: string;
  chance: Chance;
  picture: Buffer;
  often: string[];
};

/** Out of a hundred, by who does it. */
const OF_A_TECHNICIAN = {
  raise: 22,
  set: 16,
  answer: 10,
  mark: 14,
  read: 10,
  photo: 8,
  unit: 12,
  poison: 4,
  mend: 4,
};
const OF_THE_OFFICE = {
  raise: 14,
  set: 24,
  prove: 16,
  sendBack: 8,
  unit: 24,
  photo: 4,
  poison: 4,
  mend: 6,
};

export function drawDeed(doing: Doing): Deed {
  const { role } = doing.device.owner.who;
  const kind =
    role === "technician"
      ? doing.chance.weighted(favour(OF_A_TECHNICIAN, doing.often))
      : doing.chance.weighted(favour(OF_THE_OFFICE, doing.often));
  return DEEDS[kind]?.(doing) ?? raise(doing);
}

const DEEDS: Record<string, (doing: Doing) => Deed | undefined> = {
  raise,
  set,
  answer,
  prove,
  sendBack,
  mark,
  read,
  photo,
  unit,
  poison,
  mend,
};

const AN_ISSUE = {
  category: "leak",
  action: "",
  evidence: "",
  stops: ["refrigerant" as const],
  whoMustAct: "contractor" as const,
};

function raise(doing: Doing): Deed {
  const { site, words, chance } = doing;
  const [unitId, opensCircuit] = [chance.oneOf(site.unit_ids), chance.happens(20)];
  const photo = chance.happens(10) ? { photo: aPhoto(doing) } : {};
  const what = { ...AN_ISSUE, ...photo, jobId: site.id, unitId, opensCircuit, words };
  return {
    name: "raises an issue",
    count: "photo" in photo ? 2 : 1,
    touch: (app) => app.raiseIssue(what),
    says: words,
  };
}

/** Against a unit that is nowhere: the server can only keep it aside. */
function poison({ site, words }: Doing): Deed {
  const what = { ...AN_ISSUE, jobId: site.id, unitId: site.id, opensCircuit: false, words };
  const touch = (app: App) => app.raiseIssue(what);
  return { name: "raises a poisoned issue", count: 1, touch, says: words };
}

/** One of the latest that this phone shows, its own unsent ones among them. */
function anIssue({ device, site, chance }: Doing): string | undefined {
  const isHere = (row: BaseRecord | OverlayRecord) =>
    row.table === "issue" && row.job_id === site.id;
  const told = device.read<BaseRecord>("rows").filter(isHere);
  const own = device.read<OverlayRecord>("overlay").filter((row) => isHere(row) && row.makes);
  const ids = [...new Set([...told, ...own].map(({ id }) => id))].toSorted().slice(-8);
  return ids.length > 0 ? chance.oneOf(ids) : undefined;
}

function onIssue(
  doing: Doing,
  { name, touch }: { name: string; touch: (app: App, issueId: string) => Promise<Result> },
): Deed | undefined {
  const issueId = anIssue(doing);
  const says = doing.words;
  return issueId ? { name, count: 1, touch: (app) => touch(app, issueId), says } : undefined;
}

function set(doing: Doing): Deed | undefined {
  const { site, words, chance } = doing;
  const changes = chance.happens(70) ? { words } : { words, due_on: "2026-12-01" };
  return onIssue(doing, {
    name: "corrects an issue",
    touch: (app, issueId) => app.setIssue({ jobId: site.id, issueId, changes }),
  });
}

function answer(doing: Doing): Deed | undefined {
  const { site, words, chance } = doing;
  const fixed = chance.happens(70);
  const promisedOn = fixed ? null : "2026-12-02";
  return onIssue(doing, {
    name: "answers an issue",
    touch: (app, issueId) => app.answerIssue({ jobId: site.id, issueId, words, fixed, promisedOn }),
  });
}

function prove(doing: Doing): Deed | undefined {
  const { site, words } = doing;
  return onIssue(doing, {
    name: "proves a fix",
    touch: (app, issueId) => app.proveIssue({ jobId: site.id, issueId, words }),
  });
}

function sendBack(doing: Doing): Deed | undefined {
  const { site, words } = doing;
  return onIssue(doing, {
    name: "sends an issue back",
    touch: (app, issueId) => app.sendBackIssue({ jobId: site.id, issueId, words }),
  });
}

const STATES: StepState[] = ["done", "done", "failed", "todo", "not_applicable"];

function mark({ device, site, words, chance }: Doing): Deed | undefined {
  const steps = device
    .read<BaseRecord>("rows")
    .filter((row) => row.table === "step" && row.job_id === site.id)
    .toSorted((a, b) => placeOf(site, a).localeCompare(placeOf(site, b)));
  if (steps.length === 0) {
    return undefined;
  }
  const [step, state] = [chance.oneOf(steps), chance.oneOf(STATES)];
  const note = chance.happens(50) ? words : null;
  const touch = (app: App) => app.markStep({ jobId: site.id, stepId: step.id, state, note });
  return { name: "marks a step", count: 1, touch, ...(note ? { says: note } : {}) };
}

/** The ids of steps hang on that of the job, which is another in each run. */
function placeOf(site: Site, { fields }: BaseRecord): string {
  return `${fields["code"]} ${site.unit_ids.indexOf(String(fields["unit_id"]))}`;
}

function read({ site, chance, words }: Doing): Deed {
  const volts = Array.from({ length: 3 }, () => chance.whole(390, 410));
  const [v_ab_v, v_bc_v, v_ca_v] = volts;
  const what = {
    jobId: site.id,
    calculation: "supply_power",
    systemId: site.system_id,
    unitId: site.unit_ids[0] ?? null,
    stepId: null,
    visitId: null,
    inputs: { v_ab_v, v_bc_v, v_ca_v, nominal_v: 400 },
    entered: {},
    outputs: {},
    verdict: null,
    engineVersion: "test",
    reason: words,
  };
  const touch = (app: App) => app.recordReading(what);
  return { name: "records a reading", count: 1, touch, says: words };
}

function photo(doing: Doing): Deed {
  const { site, chance } = doing;
  const what = { jobId: site.id, unitId: chance.oneOf(site.unit_ids), photo: aPhoto(doing) };
  return { name: "takes a photo", count: 1, touch: (app) => app.addPhoto(what) };
}

/** A real picture; what stands behind its end makes each one another file. */
function aPhoto({ picture, words, device }: Doing) {
  const bytes = Buffer.concat([picture, Buffer.from(`${device.cookie} ${words}`)]);
  return {
    full: new Blob([bytes], { type: "image/jpeg" }),
    thumb: new Blob([picture], { type: "image/jpeg" }),
    sha256: createHash("sha256").update(bytes).digest("hex"),
    size_bytes: bytes.length,
    width_px: 8,
    height_px: 6,
    taken_at: new Date(device.date_ms()).toISOString(),
  };
}

function unit({ site, words, chance }: Doing): Deed {
  const [unitId, name] = [chance.oneOf(site.unit_ids), chance.oneOf(["room", "place"] as const)];
  const what = { jobId: site.id, unitId, changes: { [name]: words } };
  return { name: "corrects a unit", count: 1, touch: (app) => app.setUnit(what), says: words };
}

export function cardsOf(device: Device): AttentionRecord[] {
  return device
    .read<AttentionRecord>("attention")
    .filter((one) => one.outcome === "refused" || one.outcome === "set_aside")
    .toSorted((a, b) => a.id.localeCompare(b.id));
}

export function sendAgain({ id, fields }: AttentionRecord): Deed {
  const touch = (app: App) => app.resendMutation(id, fields);
  return { name: "sends again what was set aside", count: 1, touch, card: id };
}

/** Sends again, mended where it can be, what the server could not take; or gives it up. */
function mend({ device, site, chance, words }: Doing): Deed | undefined {
  const items = cardsOf(device);
  if (items.length === 0) {
    return undefined;
  }
  const item = chance.oneOf(items);
  if (chance.happens(40)) {
    const giveUp = async (app: App): Promise<Result> => {
      const before = new Set(device.given_up);
      device.given_up.add(item.entity);
      try {
        await app.dismissAttention(item.id);
      } catch (problem) {
        if (app.isDiskFull(problem)) {
          device.given_up = before;
          return { ok: false, code: "disk_full" };
        }
        throw problem;
      }
      return { ok: true, id: item.id };
    };
    return { name: "gives up what was set aside", count: 0, touch: giveUp, card: item.id };
  }
  const isPoison = item.type === "issue.raise" && item.fields["unit_id"] === item.job_id;
  if (!isPoison) return sendAgain(item);
  const fields = { ...item.fields, unit_id: site.unit_ids[0], words };
  return { ...sendAgain({ ...item, fields }), says: words };
}

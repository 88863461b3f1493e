import { unlessFull } from "../local/disk";
import { brokenOff, type Result } from "../local/result";
import { session } from "../local/session";
import { takeOverFrom } from "../sync/gather";
import { beginAnew, makeWay } from "../sync/start";

/**
 * Send with this link what somebody else left unsent on this phone under an earlier link to the same job.
 *
 * It goes in the name of whoever holds this link. With no signal it waits like everything else. On a full
 * phone the photos that do not fit stay where they were, with what is said of them.
 */
export async function takeOver(link_id: string): Promise<Result> {
  const who = session.value;
  if (!who) {
    return { ok: false, code: "not_signed_in" };
  }
  const move = async (): Promise<Result> => {
    await takeOverFrom(link_id, { who, locks: navigator.locks, makeWay });
    beginAnew();
    return { ok: true, id: link_id };
  };
  try {
    return await unlessFull(move, { otherwise: { ok: false, code: "disk_full" } });
  } catch (problem) {
    return brokenOff(problem);
  }
}

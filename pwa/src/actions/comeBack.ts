import { adoptDevice } from "../local/device";
import { noteLoss } from "../local/lost";
import { enterUnlessSomebodyDid, session } from "../local/session";
import { storeOf } from "../local/store";
import { readTallies } from "../local/tally";
import { askMe, here } from "../sync/api";
import { sessionOf } from "./signIn";

/**
 * A phone that knows of nobody, not even of a setting: it is new, or all that it kept was cleared.
 * The cookie is not cleared with it; whoever it still stands for goes on without a password, and
 * what had been sent is fetched again. With no signal the sign-in waits, as on a new phone.
 */
export async function comeBack(): Promise<void> {
  const answer = await askMe(here("device"));
  // Meanwhile somebody may have signed in by hand, or opened a link.
  if (!answer.ok || session.value) {
    return;
  }
  const back = sessionOf(answer.value);
  // With figures it was noted before the first screen.
  if (!readTallies()) {
    await noteLoss();
  }
  await adoptDevice(storeOf(back.principal_id), answer.value.device_id);
  await enterUnlessSomebodyDid(back);
  if (location.pathname === "/sign-in") {
    location.replace("/");
  }
}

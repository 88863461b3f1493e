/** Who may be given a visit. Asked for only when the server says that the list has changed. */
import * as v from "valibot";
import { isEnded } from "./ended";
import type { Line } from "./line";
import { PeopleAnswer } from "./shapes";
import { keepAsking } from "./silence";

export async function keepPeople({ store, wire }: Line): Promise<void> {
  const told = (await store.meta.get("people_rev"))?.value;
  const kept = (await store.meta.get("people_kept_rev"))?.value;
  if (wire.as === "link" || told === kept || (await isEnded(store))) {
    return;
  }
  const reply = await keepAsking(wire, { method: "GET", path: "/api/people" });
  const answer = reply.kind === "ok" ? v.safeParse(PeopleAnswer, reply.body) : undefined;
  if (answer?.success) {
    await store.meta.bulkPut([
      { name: "people", value: answer.output.people },
      { name: "people_kept_rev", value: told },
    ]);
  }
}

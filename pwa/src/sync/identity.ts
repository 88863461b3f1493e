/** Is the session that the browser sends along still that of this store's principal? */
import * as v from "valibot";
import type { Line } from "./line";
import { MeAnswer } from "./shapes";
import { keepAsking } from "./silence";

export async function isStillMine(line: Line): Promise<"mine" | "signed_out" | "later"> {
  const reply = await keepAsking(line.wire, { method: "GET", path: "/api/me" });
  if (reply.kind === "signed_out") {
    return "signed_out";
  }
  const answer = reply.kind === "ok" ? v.safeParse(MeAnswer, reply.body) : undefined;
  if (!answer?.success) {
    return "later";
  }
  const id = answer.output.link?.id ?? answer.output.person?.id;
  return id === line.principal_id ? "mine" : "signed_out";
}

/** Where the phone's outputs and the server's are not the same, field by field. */
import type { ReadingRow } from "../../local/rows";
import { type FlatValue, flatValues } from "./flat";

type Value = FlatValue["value"];
/** undefined where one of the two has no such field. */
export type Difference = { path: string; phone: Value | undefined; server: Value | undefined };

/** As the server judges it: both runtimes agree to far more than this. */
const SAME_RELATIVE = 1e-9;
const SAME_ABSOLUTE = 1e-12;

function isSame(phone: Value | undefined, server: Value | undefined): boolean {
  if (typeof phone !== "number" || typeof server !== "number") return phone === server;
  const most = Math.max(Math.abs(phone), Math.abs(server));
  return Math.abs(phone - server) <= Math.max(SAME_ABSOLUTE, SAME_RELATIVE * most);
}

type Both = Pick<ReadingRow, "outputs" | "server_outputs">;

export function differencesOf({ outputs, server_outputs }: Both): Difference[] {
  const valuesOf = (side: Both["server_outputs"]) =>
    new Map(flatValues(side).map(({ path, value }) => [path, value]));
  const [phone, server] = [valuesOf(outputs), valuesOf(server_outputs)];
  return [...new Set([...phone.keys(), ...server.keys()])]
    .map((path) => ({ path, phone: phone.get(path), server: server.get(path) }))
    .filter((one) => !isSame(one.phone, one.server));
}

/** The reasons are sentences: told side by side, where a word or a number of them differs. */
export function haveOtherReasons({ outputs, server_outputs }: Both): boolean {
  const [phone, server] = [outputs["reasons"], server_outputs?.["reasons"]].map((reasons) =>
    flatValues({ told: reasons ?? [] }),
  );
  if (!phone || !server || phone.length !== server.length) return true;
  return phone.some(
    (one, at) => one.path !== server[at]?.path || !isSame(one.value, server[at]?.value),
  );
}

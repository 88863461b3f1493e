/** What is done with a hold on its screen now; it stands in the address, so that back leads back. */
import type { Hold, Point } from "../../../../queries/holds";
import type { Field } from "../../../parts/reading/entry";
import type { HoldKind } from "./kind";
import { placed } from "./record";

export type Edit =
  | { kind: "look"; hold: Hold }
  | { kind: "begin" }
  | { kind: "add"; hold: Hold }
  | { kind: "correct"; hold: Hold; point: Point }
  | { kind: "set_up"; hold: Hold };

type Query = Record<string, string>;

export function editOf({ do: what, point: id }: Query, hold: Hold | undefined): Edit {
  if (!hold || what === "begin") return { kind: "begin" };
  if (what === "add") return { kind: "add", hold };
  if (what === "set_up") return { kind: "set_up", hold };
  const point = what === "correct" && hold.points.find((one) => one.id === id);
  return point ? { kind: "correct", hold, point } : { kind: "look", hold };
}

/** The same address, with another thing to do there. */
export function pathFor(
  url: string,
  { to, point, saved }: { to?: Edit["kind"]; point?: Point; saved?: string } = {},
): string {
  const [path = "", query = ""] = url.split("?");
  const parts = new URLSearchParams(query);
  for (const name of ["do", "point", "saved"]) parts.delete(name);
  if (to && to !== "look") parts.set("do", to);
  if (point) parts.set("point", point.id);
  if (saved) parts.set("saved", saved);
  return `${path}?${parts}`;
}

export const asksSetUp = (edit: Edit) => edit.kind === "begin" || edit.kind === "set_up";
export const asksReading = (edit: Edit) => edit.kind !== "look" && edit.kind !== "set_up";

/** Under which name the reading that is typed now lies in the draft: it may move in the order. */
export function draftName(edit: Edit): string {
  return edit.kind === "correct" ? edit.point.id : "new";
}

/** The fields of the reading that is typed now, by their place in the draft. */
export function fieldsOfReading(kind: HoldKind, edit: Edit): Field[] {
  if (!asksReading(edit)) return [];
  const name = draftName(edit);
  return kind
    .reading(othersOf(edit))
    .map((field) => ({ ...field, name: placed(name, field.name) }));
}

/** What is recorded already, the mistaken reading excepted. */
export function othersOf(edit: Edit): Point[] {
  if (edit.kind === "begin") return [];
  if (edit.kind !== "correct") return edit.hold.points;
  return edit.hold.points.filter((point) => point.id !== edit.point.id);
}

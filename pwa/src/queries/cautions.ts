/** Which cautions go with the work of each category of issue: the engine's list, asked once. */
import { type ReadonlySignal, signal } from "@preact/signals";
import { compute } from "../trade/bridge";
import type { IssueCategories } from "../trade/types";

export type Cautions = ReadonlyMap<string, readonly string[]>;

const cautions = signal<Cautions>(new Map());
let isAsked = false;

async function ask(): Promise<void> {
  const answer = await compute<IssueCategories>("issue_categories", {});
  // Asked for again by the next screen.
  isAsked = answer.ok;
  if (!answer.ok) return;
  cautions.value = new Map(answer.result.categories.map((one) => [one.code, one.cautions]));
}

/** Empty until the engine has started; it starts from this phone, never from the network. */
export function useCautions(): ReadonlySignal<Cautions> {
  if (!isAsked) {
    isAsked = true;
    void ask();
  }
  return cautions;
}

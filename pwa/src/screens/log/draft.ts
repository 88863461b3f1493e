import type { RaiseIssue } from "../../actions/raiseIssue";
import type { Side, UnitRow, WhoMustAct } from "../../local/rows";
import type { PreparedPhoto } from "../../photo/prepare";
import { hasText, t } from "../../text";
import type { IssueCategory } from "../../trade/types";

/** What is typed and chosen so far. Null means: as the category has it. */
export type IssueDraft = {
  unitId: string | null;
  category: string | null;
  words: string;
  stops: Side[] | null;
  opensCircuit: "yes" | "no" | null;
  whoMustAct: WhoMustAct | null;
  action: string | null;
  evidence: string | null;
  dueOn: string | null;
  photos: PreparedPhoto[];
};

export const EMPTY_DRAFT: IssueDraft = {
  unitId: null,
  category: null,
  words: "",
  stops: null,
  opensCircuit: null,
  whoMustAct: null,
  action: null,
  evidence: null,
  dueOn: null,
  photos: [],
};

export type Settled = {
  stops: Side[];
  opensCircuit: boolean;
  whoMustAct: WhoMustAct;
  action: string;
  evidence: string;
};

/** A text code of the engine as a sentence. */
export function sentence(code: string): string {
  return hasText(code) ? t(code) : code;
}

/** What the issue will say: the person's choice where there is one, else the category's. */
export function settle(
  draft: IssueDraft,
  { category }: { category: IssueCategory | undefined },
): Settled {
  return {
    stops: draft.stops ?? ((category?.stops ?? []) as Side[]),
    opensCircuit:
      draft.opensCircuit === null
        ? (category?.opens_circuit ?? false)
        : draft.opensCircuit === "yes",
    whoMustAct: draft.whoMustAct ?? ((category?.who_must_act ?? "contractor") as WhoMustAct),
    action: draft.action ?? sentence(category?.action ?? ""),
    evidence: draft.evidence ?? sentence(category?.evidence ?? ""),
  };
}

type From = {
  jobId: string;
  unitId: string;
  visitId: string | null;
  category: IssueCategory | undefined;
  draftKey: string;
};

export function toRaise(draft: IssueDraft, { category, ...from }: From): RaiseIssue {
  return {
    ...from,
    category: draft.category ?? "other",
    words: draft.words.trim(),
    dueOn: draft.dueOn,
    ...settle(draft, { category }),
    photos: draft.photos,
  };
}

/** Another category takes the person's own choices back to its defaults; words, day and photos stay. */
export function withCategory(category: string): Partial<IssueDraft> {
  return {
    category,
    stops: null,
    opensCircuit: null,
    whoMustAct: null,
    action: null,
    evidence: null,
  };
}

/** Units last touched by an issue come first: people log several things in one place. */
export function recentUnits(
  units: UnitRow[],
  { touched }: { touched: (string | null)[] },
): UnitRow[] {
  const ids = [...new Set(touched)].slice(0, 4);
  return ids.flatMap((id) => units.find((unit) => unit.id === id) ?? []);
}

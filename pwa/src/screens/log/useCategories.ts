import { useEffect, useState } from "preact/hooks";
import { compute } from "../../trade/bridge";
import type { IssueCategories, IssueCategory } from "../../trade/types";

/** The categories of issues with what each sets by default: one list, in the engine. */
export function useCategories(): IssueCategory[] {
  const [categories, setCategories] = useState<IssueCategory[]>([]);
  useEffect(() => {
    let wanted = true;
    compute<IssueCategories>("issue_categories", {}).then((answer) => {
      if (wanted && answer.ok) setCategories(answer.result.categories);
    });
    return () => {
      wanted = false;
    };
  }, []);
  return categories;
}

import { type State, StateShape } from "../../../../components/StateShape";
import { t } from "../../../../text";
import { type Found, oddFirst, sureWords, whereWords } from "./words";

function stateOf({ kind, clear }: Found): State {
  if (kind === "not_measured") return "todo";
  if (!clear) return "unclear";
  return kind === "own" ? "pass" : "fail";
}

/** How sure is told in words: the margin of the engine is a number that nobody can picture. */
export function EachUnit({ assignment }: { assignment: Found[] }) {
  return (
    <section>
      <h2 class="section-title">{t("port_check.each")}</h2>
      <ul>
        {oddFirst(assignment).map((found) => (
          <li key={found.unit} class="unit-row unit-row-long">
            <StateShape state={stateOf(found)} says="shape" />
            <span class="unit-row-words">
              <span class="unit-row-tag">{found.unit}</span>
              <span class="block">
                {[whereWords(found), sureWords(found)].filter(Boolean).join(", ")}
              </span>
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

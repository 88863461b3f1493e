import type { ComponentChildren } from "preact";
import { Caution } from "./Caution";
import { StateShape } from "./StateShape";

type Props = {
  /** Null where there is no limit: figures, and nothing is judged. */
  verdict: "pass" | "fail" | "unclear" | null;
  /** The word: "Fail: reversed rotation". */
  word: string;
  /** Number against limit, and where the limit comes from. */
  children: ComponentChildren;
  next?: ComponentChildren;
  cautions?: string[];
};

/** A verdict: word, number, limit, where the limit comes from, how sure, what next, caution. */
export function VerdictCard({ verdict, word, children, next, cautions = [] }: Props) {
  return (
    <section class={`verdict verdict-${verdict ?? "none"}`} aria-live="polite">
      <div class="verdict-head">
        {verdict && <StateShape state={verdict} says="shape" />}
        <h2>{word}</h2>
      </div>
      {children}
      {next && <p class="verdict-next">{next}</p>}
      {cautions.length > 0 && <Caution>{cautions}</Caution>}
    </section>
  );
}

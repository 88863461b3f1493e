import type { ComponentChildren } from "preact";
import { Caution } from "./Caution";
import { StateShape } from "./StateShape";

type Props = {
  verdict: "pass" | "fail" | "unclear";
  /** The word: "Fail: reversed rotation". */
  word: string;
  /** Number against limit, and where the limit comes from. */
  children: ComponentChildren;
  /** How sure, where it matters. */
  sure?: ComponentChildren;
  next?: ComponentChildren;
  caution?: string;
};

/** A verdict: word, number, limit, where the limit comes from, how sure, what next, caution. */
export function VerdictCard({ verdict, word, children, sure, next, caution }: Props) {
  return (
    <section class={`verdict verdict-${verdict}`} aria-live="polite">
      <div class="verdict-head">
        <StateShape state={verdict} says="shape" />
        <h2>{word}</h2>
      </div>
      {children}
      {sure && <p class="verdict-source">{sure}</p>}
      {next && <p class="verdict-next">{next}</p>}
      {caution && <Caution>{caution}</Caution>}
    </section>
  );
}

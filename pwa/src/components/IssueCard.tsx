import type { ComponentChildren } from "preact";
import { type State, StateWord } from "./StateShape";

type Props = {
  href: string;
  /** "4 · Box B2, port 5 · floor 2". */
  where: string;
  /** What is wrong, in a few words. */
  title: string;
  /** What to do, or what stands in the way. */
  todo?: string;
  state: State;
  /** The state in words: "Open 2 days". */
  stateWords?: string;
  /** "Stops 6 steps". */
  stops?: string;
  photo?: ComponentChildren;
};

export function IssueCard({ href, where, title, todo, state, stateWords, stops, photo }: Props) {
  return (
    <a class="issue-card" href={href}>
      {photo}
      <span class="issue-card-words">
        <span class="quiet-text">{where}</span>
        <b class="issue-card-title">{title}</b>
        {todo && <span class="quiet-text">{todo}</span>}
        {stops && <StateWord state="gated">{stops}</StateWord>}
        <StateWord state={state}>{stateWords}</StateWord>
      </span>
    </a>
  );
}

import type { JSX } from "preact";
import { t } from "../text";

/** State is told by word and shape first, colour last: no two states share a shape. */
export type State =
  | "todo"
  | "done"
  | "pass"
  | "fail"
  | "unclear"
  | "gated"
  | "not_applicable"
  | "open"
  | "answered"
  | "proved"
  | "sent_back"
  | "accepted"
  | "differs"
  /** A number that was worked out and that no limit judges. */
  | "figure";

const mark = {
  fill: "none",
  stroke: "var(--fill)",
  "stroke-width": 2.6,
  "stroke-linecap": "round",
  "stroke-linejoin": "round",
} as const;
const outline = { fill: "var(--fill)", stroke: "currentColor", "stroke-width": 2.6 } as const;

const disc = <circle cx="12" cy="12" r="10.5" fill="currentColor" />;
const ring = <circle cx="12" cy="12" r="9" {...outline} />;
const discWithTick = (
  <>
    {disc}
    <path d="m7 12.4 3.4 3.4L17 8.8" {...mark} />
  </>
);

const SHAPES: Record<State, JSX.Element> = {
  todo: ring,
  open: ring,
  done: discWithTick,
  pass: discWithTick,
  proved: discWithTick,
  fail: (
    <>
      <rect x="2" y="2" width="20" height="20" rx="2.5" fill="currentColor" />
      <path d="m8 8 8 8m0-8-8 8" {...mark} />
    </>
  ),
  unclear: (
    <>
      <path d="M12 .8 23.2 12 12 23.2.8 12Z" fill="currentColor" />
      <path
        d="M9.6 10a2.5 2.5 0 1 1 3.5 2.3c-.8.4-1.1.8-1.1 1.6m0 2.6v.1"
        {...mark}
        stroke-width={2.1}
      />
    </>
  ),
  figure: <circle cx="12" cy="12" r="5" fill="currentColor" />,
  gated: <rect x="-1" y="8.5" width="26" height="7" rx="2" fill="currentColor" />,
  not_applicable: (
    <>
      {ring}
      <path d="M6.5 17.5 17.5 6.5" stroke="currentColor" stroke-width="2.4" />
    </>
  ),
  answered: (
    <>
      {ring}
      <circle cx="12" cy="12" r="4" fill="currentColor" />
    </>
  ),
  sent_back: (
    <>
      <path
        d="M4.2 8.5A8.8 8.8 0 1 1 3.2 12"
        fill="none"
        stroke="currentColor"
        stroke-width="2.6"
        stroke-linecap="round"
      />
      <path d="M2.6 3.2v5.9h5.9" fill="none" stroke="currentColor" stroke-width="2.6" />
    </>
  ),
  accepted: (
    <>
      {disc}
      <path d="M7 12h10" {...mark} />
    </>
  ),
  differs: (
    <>
      <path d="M7.2 2.5h9.6L22 12l-5.2 9.5H7.2L2 12Z" {...outline} stroke-linejoin="round" />
      <path
        d="M8 10h8m-8 4.2h8M14.4 7l-4.8 10"
        fill="none"
        stroke="currentColor"
        stroke-width="2"
        stroke-linecap="round"
      />
    </>
  ),
};

type Props = {
  state: State;
  size?: "normal" | "small";
  /** "shape" when the word stands beside it already and must not be read twice. */
  says?: "word" | "shape";
};

export function StateShape({ state, size = "normal", says = "word" }: Props) {
  const look = `state-shape state-${state}${size === "small" ? " state-shape-small" : ""}`;
  if (says === "shape") {
    return (
      <svg class={look} viewBox="0 0 24 24" aria-hidden="true">
        {SHAPES[state]}
      </svg>
    );
  }
  return (
    <svg class={look} viewBox="0 0 24 24" role="img">
      <title>{t(`state.${state}`)}</title>
      {SHAPES[state]}
    </svg>
  );
}

/** The shape with its word. */
export function StateWord({ state, children }: { state: State; children?: string | undefined }) {
  return (
    <span class="state-word">
      <StateShape state={state} size="small" says="shape" />
      <span>{children ?? t(`state.${state}`)}</span>
    </span>
  );
}

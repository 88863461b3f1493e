import type { ComponentChildren } from "preact";
import { type State, StateShape } from "./StateShape";

export type LineStep = {
  id: string;
  name: string;
  state: State;
  /** "open" carries flow, "empty" is a stretch that is gated. */
  pipe: "open" | "empty";
  /** "6 of 22". */
  count?: string;
  why?: ComponentChildren;
};
export type LineGroup = { title: string; steps: LineStep[] };

function Step({ step, onOpen, edge }: { step: LineStep; onOpen: () => void; edge: string }) {
  const empty = step.pipe === "empty" ? " line-empty" : "";
  return (
    <li class={`line-step${empty}${edge}`}>
      <button type="button" class="line-step-body" onClick={onOpen}>
        <span class="line-fitting">
          <StateShape state={step.state} />
        </span>
        <span class="line-step-words">
          <span class="line-step-top">
            <span>{step.name}</span>
            {step.count && <span class="line-step-count">{step.count}</span>}
          </span>
          {step.why && <span class="line-step-why">{step.why}</span>}
        </span>
      </button>
    </li>
  );
}

/** The steps of a system, hung on one pipe run. */
export function StepLine({
  groups,
  onOpen,
}: {
  groups: LineGroup[];
  onOpen: (id: string) => void;
}) {
  const shown = groups.filter((group) => group.steps.length > 0);
  return (
    <div class="line">
      {shown.map((group, at) => {
        const empty = group.steps[0]?.pipe === "empty" ? " line-empty" : "";
        const lastGroup = at === shown.length - 1;
        return (
          <section key={group.title}>
            <h2 class={`line-group-title${empty}${at === 0 ? " line-start" : ""}`}>
              {group.title}
            </h2>
            <ul>
              {group.steps.map((step, index) => (
                <Step
                  key={step.id}
                  step={step}
                  edge={lastGroup && index === group.steps.length - 1 ? " line-end" : ""}
                  onOpen={() => onOpen(step.id)}
                />
              ))}
            </ul>
          </section>
        );
      })}
    </div>
  );
}

import { expect, test } from "vitest";
import { aJobView, aUnit } from "../../../parts/job-view.builder";
import { emptyDraft, known, type ReadingDraft } from "../../../parts/reading/entry";
import { problemWords } from "../../../parts/reading/problem-words";
import "../../../../text/checks";
import {
  fieldsOfBox,
  PER_BOARD,
  PORTS,
  shownBeside,
  type Ticked,
  ticked,
  tickOf,
} from "./switches";

function aBox({ port }: { port: number }) {
  const box = aUnit({ id: "b1", tag: "B1", kind: "branch_box" });
  const view = aJobView({ units: [box, aUnit({ id: "a", parent_id: "b1", port })] });
  return { view, system: view.systems[0], unit: box, step: undefined };
}

function aDraft({ ports, perBoard = 4 }: { ports: number; perBoard?: number }) {
  const draft = emptyDraft<Ticked>({ setAs: null });
  const typed = {
    [PORTS]: known(ports, { unit: "" }),
    [PER_BOARD]: known(perBoard, { unit: "" }),
  };
  return { ...draft, typed };
}

const tick = (draft: ReadingDraft<Ticked>, box: ReturnType<typeof aBox>) => ({
  ...draft,
  own: ticked(draft, box),
});

test("the mark stands for the boards that were on the screen when it was set", () => {
  const box = aBox({ port: 2 });

  expect(tickOf(aDraft({ ports: 4 }), box)).toBe("open");
  expect(tickOf(tick(aDraft({ ports: 4 }), box), box)).toBe("set");
});

test("the mark falls away when ports, boards or the sheet change, and comes back with them", () => {
  const box = aBox({ port: 2 });
  const draft = tick(aDraft({ ports: 4 }), box);

  expect(tickOf({ ...draft, typed: aDraft({ ports: 6 }).typed }, box)).toBe("changed");
  expect(tickOf({ ...draft, typed: aDraft({ ports: 4, perBoard: 2 }).typed }, box)).toBe("changed");
  expect(tickOf(draft, aBox({ port: 3 }))).toBe("changed");
  expect(tickOf({ ...draft, typed: aDraft({ ports: 4 }).typed }, box)).toBe("set");
});

test("a port of the sheet that the box does not have is told beside the number of ports, in words", () => {
  const fields = fieldsOfBox();
  const limits = { low: 1, high: 3, unit: "port" };
  const problem = { code: "out_of_range" as const, field: "boxes[0].used[1]", message: "", limits };
  const entryOf = () => known(3, { unit: "" });

  const words = problemWords(problem, {
    ...{ fields, entryOf, calculation: "port_switches", units: { system: "si" } },
  });

  expect(shownBeside(problem.field)).toBe(PORTS);
  expect(shownBeside(PER_BOARD)).toBe(PER_BOARD);
  expect(words).toContain("outside 1 to 3");
  expect(words).not.toContain("boxes");
});

/** Presses of "Save" on one draft that overlap: slow phones, and screens that are left and opened again. */
import { expect, test } from "vitest";
import { isOver, pressEnds, tellCleared, turnOf, whilePressed } from "./draft_saves";

const aMoment = () => new Promise((done) => setTimeout(done, 1));

function aPress(key: string, log: string[], name: string) {
  const held = Promise.withResolvers<void>();
  const pressed = whilePressed(key, async (turn) => {
    log.push(`${name} begins`);
    await held.promise;
    tellCleared(key, turn);
    log.push(`${name} ends`);
  });
  const end = async () => {
    held.resolve();
    await pressed;
    await aMoment();
  };
  return { end };
}

test("a second press waits for the first, and what is typed waits for both", async () => {
  const log: string[] = [];
  const first = aPress("log:1", log, "first");
  const second = aPress("log:1", log, "second");
  await aMoment();

  await first.end();
  const written = pressEnds("log:1").then(() => log.push("written"));
  await aMoment();
  const between = [...log];
  await second.end();
  await written;

  expect(between).toEqual(["first begins", "first ends", "second begins"]);
  expect(log.slice(3)).toEqual(["second ends", "written"]);
});

test("what is typed between two presses is over with the second, and not with the first", async () => {
  const key = "log:2";
  const first = aPress(key, [], "first");
  const typed = turnOf(key);
  const second = aPress(key, [], "second");

  await first.end();
  const afterFirst = isOver(key, typed);
  await second.end();

  expect([afterFirst, isOver(key, typed), isOver(key, turnOf(key))]).toEqual([false, true, false]);
});

test("a press that fails ends as well, and nothing is over with it", async () => {
  const key = "log:3";
  const typed = turnOf(key);

  const pressed = whilePressed(key, async () => {
    throw new Error("no room");
  });

  await expect(pressed).rejects.toThrow("no room");
  await pressEnds(key);
  expect(isOver(key, typed)).toBe(false);
});

import { beforeEach, expect, test, vi } from "vitest";
import { home } from "../local/home";
import { session } from "../local/session";
import { openLink } from "./openLink";

const linkOf = (recipient: string) => ({
  link: {
    id: `link-${recipient}`,
    firm: "Invented Pipes",
    recipient,
    job_id: "job-1",
    expires_at: "2099-01-01T00:00:00.000Z",
  },
  company: { id: "company-1", name: "Invented Cooling" },
  device_id: "device-1",
});

/** The office, as the phone hears it: an answer, a no, or nothing. */
function theOffice(answer: { recipient: string } | "knows no such link" | "is silent") {
  vi.stubGlobal("fetch", async () => {
    if (answer === "is silent") throw new TypeError("no network");
    if (answer === "knows no such link") {
      const error = { code: "link_ended", message: "Ask for a new one.", fields: {} };
      return Response.json({ error }, { status: 404 });
    }
    return Response.json(linkOf(answer.recipient));
  });
}

beforeEach(async () => {
  await home.sessions.clear();
  vi.unstubAllGlobals();
});

test("a link that this phone has opened before opens with no signal", async () => {
  theOffice({ recipient: "Pat" });
  await openLink("secret of Pat");
  theOffice("is silent");

  const again = await openLink("secret of Pat");
  const never = await openLink("secret of Lee");

  expect(again).toMatchObject({ ok: true, value: { asked: "phone" } });
  expect(never).toMatchObject({ ok: false, code: "offline" });
  expect(JSON.stringify(await home.sessions.toArray())).not.toContain("secret of Pat");
});

test("one that the office no longer knows opens what is here, and is over", async () => {
  theOffice({ recipient: "Pat" });
  await openLink("secret of Pat");
  theOffice("knows no such link");

  const again = await openLink("secret of Pat");

  expect(again).toMatchObject({ ok: true, value: { asked: "office" } });
  expect(Date.parse(session.value?.expires_at ?? "")).toBeLessThanOrEqual(Date.now());
});

test("one that was opened before another does not come back by itself: the cookie is the other's", async () => {
  theOffice({ recipient: "Pat" });
  await openLink("secret of Pat");
  await new Promise((later) => setTimeout(later, 2)); // so that one was used after the other
  theOffice({ recipient: "Lee" });
  await openLink("secret of Lee");
  theOffice("is silent");

  const older = await openLink("secret of Pat");

  expect(older).toMatchObject({ ok: false, code: "offline" });
  expect(session.value?.recipient).toBe("Lee");
});

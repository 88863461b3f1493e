import { useEffect } from "preact/hooks";
import lazy from "preact-iso/lazy";
import { useLocation } from "preact-iso/router";
import { session } from "../../local/session";
import { useSync } from "../../queries/sync";
import { AccessEnded } from "./AccessEnded";
import { MyJobs } from "./MyJobs";

const Board = lazy(() => import("../board/index"));

function Leave({ to }: { to: string }) {
  const { route } = useLocation();
  useEffect(() => route(to, true), [to]);
  return null;
}

/** The first screen: each role finds its own place. */
export default function Start() {
  const who = session.value;
  const { is_ended, waiting, photos_waiting } = useSync().value;
  if (!who) return <Leave to="/sign-in" />;
  // While something is left to hand over, the jobs are still here.
  if (is_ended && waiting + photos_waiting === 0) return <AccessEnded who={who} />;
  if (who.role === "contractor") return <Leave to="/answer" />;
  return who.role === "dispatcher" ? (
    <Board />
  ) : (
    <MyJobs name={who.name} company={who.company_name} />
  );
}

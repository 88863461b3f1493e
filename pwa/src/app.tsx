/** Which path shows which screen. Each screen is a chunk of its own, kept offline like the rest. */

import { useEffect, useState } from "preact/hooks";
import lazy, { ErrorBoundary } from "preact-iso/lazy";
import { LocationProvider, Route, Router, useLocation } from "preact-iso/router";
import { Failed } from "./failed";
import { session } from "./local/session";

const Start = lazy(() => import("./screens/start/index"));
const SignIn = lazy(() => import("./screens/sign-in/index"));
const Job = lazy(() => import("./screens/job/index"));
const Round = lazy(() => import("./screens/round/index"));
const Issues = lazy(() => import("./screens/issues/index"));
const Issue = lazy(() => import("./screens/issue/index"));
const Unit = lazy(() => import("./screens/unit/index"));
const Log = lazy(() => import("./screens/log/index"));
const Supply = lazy(() => import("./screens/supply/index"));
const Checks = lazy(() => import("./screens/checks/index"));
const Check = lazy(() => import("./screens/check/index"));
const Readings = lazy(() => import("./screens/readings/index"));
const Reading = lazy(() => import("./screens/reading/index"));
const Leave = lazy(() => import("./screens/leave/index"));
const You = lazy(() => import("./screens/you/index"));
const Attention = lazy(() => import("./screens/attention/index"));
const Answer = lazy(() => import("./screens/answer/index"));
const AnswerIssue = lazy(() => import("./screens/answer-issue/index"));
const Board = lazy(() => import("./screens/board/index"));
const NewJob = lazy(() => import("./screens/new-job/index"));
const Office = lazy(() => import("./screens/office/index"));
const Book = lazy(() => import("./screens/book/index"));

/** Where somebody may be without having signed in: the server's links open by their secret. */
function isOpenPath(path: string): boolean {
  return path === "/" || path === "/sign-in" || path === "/you" || path.startsWith("/answer");
}

function SignInFirst() {
  const { path, route } = useLocation();
  const isLost = session.value === null && !isOpenPath(path);
  useEffect(() => {
    if (isLost) {
      route("/sign-in", true);
    }
  }, [isLost, route]);
  return null;
}

export function App() {
  const [problem, setProblem] = useState<Error | null>(null);
  if (problem) {
    return <Failed problem={problem} />;
  }
  return (
    <LocationProvider>
      <SignInFirst />
      <ErrorBoundary onError={setProblem}>
        <Router>
          <Route path="/" component={Start} />
          <Route path="/sign-in" component={SignIn} />
          <Route path="/job/:id" component={Job} />
          <Route path="/job/:id/round" component={Round} />
          <Route path="/job/:id/issues" component={Issues} />
          <Route path="/job/:id/issue/:issue" component={Issue} />
          <Route path="/job/:id/unit/:unit" component={Unit} />
          <Route path="/job/:id/log" component={Log} />
          <Route path="/job/:id/supply/:unit" component={Supply} />
          <Route path="/job/:id/checks" component={Checks} />
          <Route path="/job/:id/check/:calculation" component={Check} />
          <Route path="/job/:id/readings" component={Readings} />
          <Route path="/job/:id/reading/:reading" component={Reading} />
          <Route path="/job/:id/leave" component={Leave} />
          <Route path="/job/:id/office" component={Office} />
          <Route path="/job/:id/book" component={Book} />
          <Route path="/job/:id/book/:visit" component={Book} />
          <Route path="/you" component={You} />
          <Route path="/attention" component={Attention} />
          <Route path="/answer" component={Answer} />
          <Route path="/answer/issue/:issue" component={AnswerIssue} />
          <Route path="/board" component={Board} />
          <Route path="/new-job" component={NewJob} />
          <Route default component={Start} />
        </Router>
      </ErrorBoundary>
    </LocationProvider>
  );
}

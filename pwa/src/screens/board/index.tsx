import "./board.css";
import "../../text/office";
import { ButtonLink } from "../../components/Button";
import { EmptyState } from "../../components/EmptyState";
import { Screen } from "../../components/Screen";
import { Skeleton } from "../../components/Skeleton";
import { useJobs } from "../../queries/jobs";
import { useNow } from "../../queries/now";
import { t } from "../../text";
import { LiveLost } from "../parts/LiveLost";
import { LiveSync } from "../parts/LiveSync";
import { LiveUpdate } from "../parts/LiveUpdate";
import { BoardHead } from "./BoardHead";
import { Lines } from "./Lines";
import { useBoard } from "./useBoard";

/** Every job as a line on one calendar: what it waits for, when it can be ready, when to go back. */
export default function Board() {
  const jobs = useJobs().value;
  const now = useNow().value;
  const board = useBoard(jobs ?? [], { now });
  const { query, onQuery, filter, onFilter, counts } = board;
  const head = { query, onQuery, filter, onFilter, counts };
  return (
    <Screen name={t("board.title")} width="wide" top={<BoardHead {...head} />}>
      <LiveSync />
      <LiveLost />
      <LiveUpdate />
      {jobs === undefined && <Skeleton />}
      {jobs?.length === 0 && <NoJob />}
      {jobs && jobs.length > 0 && <Lines board={board} now={now} />}
    </Screen>
  );
}

function NoJob() {
  return (
    <EmptyState title={t("board.empty")}>
      <p>{t("board.empty_hint")}</p>
      <ButtonLink kind="primary" href="/new-job">
        {t("board.new_job")}
      </ButtonLink>
    </EmptyState>
  );
}

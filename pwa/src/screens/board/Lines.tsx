import { Button } from "../../components/Button";
import { EmptyState } from "../../components/EmptyState";
import { t } from "../../text";
import { BoardRow } from "./BoardRow";
import { DayHeads } from "./DayHeads";
import { Legend } from "./Legend";
import type { useBoard } from "./useBoard";

type Props = { board: ReturnType<typeof useBoard>; now: number };

export function Lines({ board, now }: Props) {
  const { sorted, days, isShown, onFacts, onFilter, onQuery } = board;
  const showAll = () => {
    onFilter(null);
    onQuery("");
  };
  return (
    <div class="board">
      <DayHeads days={days} />
      <ul class="board-rows">
        {sorted.map((job) => (
          <BoardRow
            key={job.id}
            job={job}
            days={days}
            now={now}
            isShown={isShown(job)}
            onFacts={onFacts}
          />
        ))}
      </ul>
      {!sorted.some(isShown) && (
        <EmptyState title={t("board.no_match")}>
          <p>{t("board.no_match_hint")}</p>
          <Button onPress={showAll}>{t("board.show_all")}</Button>
        </EmptyState>
      )}
      <Legend />
      {sorted.some((job) => job.invented) && (
        <p class="quiet-text board-invented">{t("common.invented")}</p>
      )}
    </div>
  );
}

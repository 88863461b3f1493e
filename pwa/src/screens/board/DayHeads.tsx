import { formatWeekday } from "../../format";
import { t } from "../../text";

/** The head of the calendar. The days are read aloud in each row's own sentence. */
export function DayHeads({ days }: { days: readonly string[] }) {
  return (
    <div class="board-grid board-heads" aria-hidden="true">
      <span class="board-heads-word">{t("board.site")}</span>
      <span class="board-heads-word">{t("board.waits_for")}</span>
      <span class="board-days">
        {days.map((day, index) => (
          <span key={day} class={index === 0 ? "board-day board-day-today" : "board-day"}>
            <span>{formatWeekday(day, { zone: "UTC" })}</span> <span>{Number(day.slice(8))}</span>
          </span>
        ))}
      </span>
    </div>
  );
}

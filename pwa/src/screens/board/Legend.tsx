import { t } from "../../text";

const LOOKS = {
  people: "plan-work",
  clock: "plan-hold",
  promise: "plan-promise",
  best: "plan-best",
  shade: "plan-spread",
  proposed: "plan-visit-proposed",
  booked: "plan-visit-booked",
} as const;

const SIGNS = Object.entries(LOOKS) as [keyof typeof LOOKS, string][];

/** How to read the lines, and what the chances come from. */
export function Legend() {
  return (
    <section class="board-legend">
      <h2 class="spoken">{t("board.legend")}</h2>
      <ul class="plan-key">
        {SIGNS.map(([name, look]) => (
          <li key={name}>
            <svg width="26" height="18" aria-hidden="true">
              {name === "best" ? (
                <line class={look} x1="13" x2="13" y1="0" y2="18" />
              ) : (
                <rect class={look} x="1" y="3" width="24" height="12" rx="2" />
              )}
            </svg>
            {t(`board.legend.${name}`)}
          </li>
        ))}
      </ul>
      <p class="quiet-text">{t("board.legend.sure")}</p>
      <p class="quiet-text">{t("board.legend.days")}</p>
    </section>
  );
}

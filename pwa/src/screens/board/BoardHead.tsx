import { ButtonLink, IconLink } from "../../components/Button";
import { Icon } from "../../components/Icon";
import { t } from "../../text";
import { FILTERS, type Standing } from "./standing";

type Props = {
  query: string;
  onQuery: (query: string) => void;
  filter: Standing | null;
  onFilter: (filter: Standing | null) => void;
  counts: Record<Standing, number>;
};

/** Finding and counting; the count on a filter is what it would show. */
export function BoardHead({ query, onQuery, filter, onFilter, counts }: Props) {
  return (
    <div class="board-head">
      <div class="board-brand">
        <Icon name="nut" size={36} />
        <h1>{t("board.title")}</h1>
      </div>
      <label class="board-search">
        <span class="spoken">{t("board.search")}</span>
        <Icon name="search" size={20} />
        <input
          type="search"
          class="text-input"
          placeholder={t("board.search_in")}
          value={query}
          onInput={(event) => onQuery(event.currentTarget.value)}
        />
      </label>
      <fieldset class="board-filters">
        <legend class="spoken">{t("board.filters")}</legend>
        {FILTERS.map((one) => (
          <button
            key={one}
            type="button"
            class="board-filter"
            aria-pressed={filter === one}
            onClick={() => onFilter(filter === one ? null : one)}
          >
            {t(`board.filter.${one}`)} <span class="number">{counts[one]}</span>
          </button>
        ))}
      </fieldset>
      <div class="board-head-end">
        <ButtonLink kind="quiet" icon="plus" href="/new-job">
          {t("board.new_job")}
        </ButtonLink>
        <IconLink icon="person" label={t("board.you")} href="/you" />
      </div>
    </div>
  );
}

import { Button } from "../../../../components/Button";
import { Notice } from "../../../../components/Notice";
import { TextField } from "../../../../components/TextField";
import { formatDayTime } from "../../../../format/time";
import { t } from "../../../../text";
import { draftName } from "./edit";
import { type TypedTime, typedTimeOf } from "./moment";
import type { Held } from "./useHold";

const NO_TIME: TypedTime = { date: "", time: "" };

function useTypedTime({ edit, form }: Held) {
  const name = draftName(edit);
  const { times } = form.draft.own;
  const put = (time: TypedTime | null) => {
    const { [name]: _, ...others } = times;
    form.changeOwn({ times: time ? { ...others, [name]: time } : others });
  };
  return { typed: times[name], put };
}

/** Said plainly, and asked: a clock that was set back would bend the curve. */
function ClockBack({ held }: { held: Held }) {
  const zone = held.at.view.job.time_zone;
  const last = held.hold?.points.at(-1)?.at;
  return (
    <Notice kind="doubt" urgency="now">
      {t("hold.clock_back", {
        now: formatDayTime(held.now_ms / 1000, { zone }),
        last: last ? formatDayTime(last, { zone }) : "–",
      })}
    </Notice>
  );
}

/** The moment of the reading: by the phone, unless it was made earlier and written on paper. */
export function TimeOfReading({ held }: { held: Held }) {
  const { told, now_ms, at } = held;
  const zone = at.view.job.time_zone;
  const { typed, put } = useTypedTime(held);
  const isAsked = told.trouble === "clock_back";
  const moment_ms = told.moment ? Date.parse(told.moment.at) : now_ms;
  if (!typed && !isAsked) {
    return (
      <Button kind="quiet" onPress={() => put(typedTimeOf(moment_ms, { zone }))}>
        {t("hold.made_at", { when: formatDayTime(moment_ms / 1000, { zone }) })}
      </Button>
    );
  }
  const now = typed ?? NO_TIME;
  return (
    <div class="stack">
      {isAsked && <ClockBack held={held} />}
      <div class="hold-time">
        <TextField
          type="date"
          name="date"
          label={t("hold.day")}
          value={now.date}
          onInput={(date) => put({ ...now, date })}
        />
        <TextField
          type="time"
          name="time"
          label={t("hold.time")}
          value={now.time}
          error={told.trouble === "taken" ? t("hold.time_taken") : undefined}
          onInput={(time) => put({ ...now, time })}
        />
      </div>
      {told.doubt === "ahead" && <p class="quiet-text">{t("hold.time_ahead")}</p>}
      {typed && (
        <Button kind="quiet" onPress={() => put(null)}>
          {t("hold.take_phone_time")}
        </Button>
      )}
    </div>
  );
}

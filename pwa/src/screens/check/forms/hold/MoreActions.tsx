import { useState } from "preact/hooks";
import { Button, ButtonLink } from "../../../../components/Button";
import { Sheet } from "../../../../components/Sheet";
import { TextArea } from "../../../../components/TextField";
import type { Hold } from "../../../../queries/holds";
import { t } from "../../../../text";
import type { Held } from "./useHold";

type Props = { held: Held; hold: Hold };

/** Ending asks once more, and why: the record keeps both. */
function EndSheet({ held, onClose }: { held: Held; onClose: () => void }) {
  const [why, setWhy] = useState("");
  const end = async () => {
    await held.end(why);
    onClose();
  };
  return (
    <Sheet
      title={t("hold.end")}
      under={t("hold.end_under")}
      onClose={onClose}
      bottom={
        <Button
          kind="danger"
          notYet={why.trim() === "" ? t("hold.why_needed") : undefined}
          onPress={() => void end()}
        >
          {t("hold.end")}
        </Button>
      }
    >
      <TextArea label={t("hold.why")} value={why} onInput={setWhy} />
    </Sheet>
  );
}

/** What is done with a hold seldom: below everything, away from the thumb. */
export function MoreActions({ held, hold }: Props) {
  const [sheet, setSheet] = useState<"closed" | "end">("closed");
  const isRunning = hold.state === "running";
  return (
    <div class="stack">
      {!isRunning && (
        <>
          {hold.state !== "failed" && (
            <ButtonLink href={held.path({ to: "add" })}>{t("hold.go_on")}</ButtonLink>
          )}
          <ButtonLink icon="repeat" href={held.path({ to: "begin" })}>
            {t("hold.begin_anew")}
          </ButtonLink>
        </>
      )}
      <ButtonLink kind="quiet" href={held.path({ to: "set_up" })}>
        {t("hold.set_up")}
      </ButtonLink>
      {isRunning && (
        <Button kind="quiet" onPress={() => setSheet("end")}>
          {t("hold.end")}
        </Button>
      )}
      {sheet === "end" && <EndSheet held={held} onClose={() => setSheet("closed")} />}
    </div>
  );
}

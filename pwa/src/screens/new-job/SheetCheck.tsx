import { useState } from "preact/hooks";
import { checkSheet } from "../../actions/checkSheet";
import { FieldError } from "../../components/FieldError";
import { FilePick } from "../../components/FilePick";
import { Notice } from "../../components/Notice";
import type { Failure } from "../../local/result";
import { type TextKey, t } from "../../text";
import type { JobForm } from "./job-form";
import { SheetResult } from "./SheetResult";
import { Templates } from "./Templates";

type Sheet = JobForm["sheet"];
type Props = { sheet: Sheet; error: TextKey | undefined; onSheet: (sheet: Sheet) => void };

function failureWords({ code, message }: Failure): string {
  if (code === "offline") return t("new_job.sheet_offline");
  return message ? t("new_job.sheet_refused", { message }) : t("new_job.sheet_failed");
}

/** The sheet is checked as a whole; until every row is right nothing of it is taken over. */
export function SheetCheck({ sheet, error, onSheet }: Props) {
  const [checking, setChecking] = useState<string | null>(null);
  const [failure, setFailure] = useState<Failure | null>(null);
  const [isOver, setOver] = useState(false);
  const check = async (file: File | undefined) => {
    if (!file) return;
    setFailure(null);
    setChecking(file.name);
    const answer = await checkSheet(file);
    setChecking(null);
    if (answer.ok) onSheet({ file: file.name, checked: answer.value });
    else setFailure(answer);
  };
  return (
    <>
      <p>{t("new_job.sheet_lead")}</p>
      <Templates />
      <fieldset
        aria-label={t("new_job.choose")}
        class={isOver ? "sheet-drop sheet-drop-over" : "sheet-drop"}
        onDragOver={(event) => {
          event.preventDefault();
          setOver(true);
        }}
        onDragLeave={() => setOver(false)}
        onDrop={(event) => {
          event.preventDefault();
          setOver(false);
          void check(event.dataTransfer?.files[0]);
        }}
      >
        <FilePick
          label={t(sheet ? "new_job.choose_other" : "new_job.choose")}
          accept=".csv,.xlsx,text/csv,application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
          from="files"
          onFiles={(files) => void check(files[0])}
        />
        <p class="quiet-text">{t("new_job.drop")}</p>
      </fieldset>
      {checking && <p role="status">{t("new_job.checking", { file: checking })}</p>}
      {failure && (
        <Notice kind="bad" urgency="now">
          <p>{failureWords(failure)}</p>
        </Notice>
      )}
      {sheet && <SheetResult file={sheet.file} checked={sheet.checked} />}
      <FieldError id="sheet-error">{error && t(error)}</FieldError>
    </>
  );
}
